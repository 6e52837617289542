package gltf_test

import (
	"testing"

	"centrode/calc/affine"
)

// TestWhatASamplerOrAnAccessorSaysOfItselfGoesWithItsCopy: where others share them, a channel and a skin get ones of their own,
// and name and extras are not left behind.
func TestWhatASamplerOrAnAccessorSaysOfItselfGoesWithItsCopy(t *testing.T) {
	d := strip(t)
	clip := d.Root().Member("animations").At(0)
	clip.Member("samplers").At(1).Set("extras", clone(t, `{"take":7}`))
	clip.Member("channels").Append(clone(t, `{"sampler":1,"target":{"node":0,"path":"translation"}}`))
	d = read(t, d.GLB())
	if err := d.SetTrack(0, 1, []float32{0, 1}, []float32{9, 9, 9, 9, 9, 9}, "LINEAR"); err != nil {
		t.Fatal(err)
	}
	sampler := d.Animations[0].Channels[1].Sampler
	if got := d.Root().Member("animations").At(0).Member("samplers").At(sampler).Member("extras").Member("take").Raw(); sampler < 2 || got != "7" {
		t.Errorf("sampler %d takes %q", sampler, got)
	}

	one := []affine.Map{affine.Identity()}
	skin, err := d.AddSkin("twice", []int{0}, one)
	if err != nil {
		t.Fatal(err)
	}
	first := d.Skins[skin].InverseBinds
	d.Root().Member("accessors").At(first).Set("name", clone(t, `"binds"`)).Set("extras", clone(t, `{"take":8}`))
	d.Root().List("skins").Append(d.Root().Member("skins").At(skin).Copy())
	d = read(t, d.GLB())
	if err := d.SetInverseBinds(skin, one); err != nil {
		t.Fatal(err)
	}
	own := d.Skins[skin].InverseBinds
	if v := d.Root().Member("accessors").At(own); own == first || v.Member("name").Text() != "binds" || v.Member("extras").Member("take").Raw() != "8" {
		t.Errorf("the skin's own accessor %d is %s", own, v.AppendTo(nil))
	}
}
