package icon

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"math"
	"strings"
	"testing"

	"centrode/cmd/centrode/internal/palette"
)

var colours = palette.Parse("--paper: light-dark(#fbf8f1, #15181c); --ink: light-dark(#20242a, #e8e4da); --current: light-dark(#0072b2, #56b4e9); --candidate: light-dark(#d55e00, #f0a35e);")

func TestThePictureShowsPaperAndDiamond(t *testing.T) {
	data, err := PNG(colours, 192)
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(data))
	if err != nil || picture.Bounds().Dx() != 192 || picture.Bounds().Dy() != 192 {
		t.Fatalf("%v %v", picture.Bounds(), err)
	}
	at := func(x, y float64) palette.Colour { // in the field
		r, g, b, _ := picture.At(int(19.2+4.8*x), int(19.2+4.8*y)).RGBA()
		return palette.Colour{R: uint8(r >> 8), G: uint8(g >> 8), B: uint8(b >> 8)}
	}
	for _, c := range []struct {
		name string
		x, y float64
		want palette.Colour
	}{
		{"the corner", -3, -3, colours["paper"].Light}, {"the diamond", gemX, gemY, colours["candidate"].Light},
		{"the arc", arcCentre - arcRadius, arcCentre - 0.5, colours["ink"].Light}, {"inside the ring", ringX, ringY, colours["paper"].Light},
		{"the ring", ringX + ringSize, ringY + 1, colours["current"].Light},
	} {
		if got := at(c.x, c.y); got != c.want {
			t.Errorf("%s is %v, want %v", c.name, got, c.want)
		}
	}
	again, err := PNG(colours, 192)
	if err != nil || !bytes.Equal(data, again) {
		t.Error("the picture differs the second time")
	}
}

func TestTheDrawingIsXML(t *testing.T) {
	var any struct {
		Paths []struct{} `xml:"path"`
	}
	if err := xml.Unmarshal(SVG(colours), &any); err != nil || len(any.Paths) != 2 {
		t.Errorf("%d paths, %v: %s", len(any.Paths), err, SVG(colours))
	}
}

func TestTheDrawingHasTheColoursOfTheNight(t *testing.T) {
	day, night, found := strings.Cut(string(SVG(colours)), "@media (prefers-color-scheme:dark)")
	for _, name := range []string{"ink", "current", "candidate"} {
		if pair := colours[name]; !found || !strings.Contains(day, pair.Light.String()) || !strings.Contains(night, pair.Dark.String()) {
			t.Errorf("%s is not %v by day and %v by night: %s", name, pair.Light, pair.Dark, SVG(colours))
		}
	}
}

// The current placement is dashed wherever it is drawn; in the middle of the first gap is paper.
func TestTheRingOfThePictureIsDashed(t *testing.T) {
	data, err := PNG(colours, 512)
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	sin, cos := math.Sincos((dash + gap/2) / ringSize)
	r, g, b, _ := picture.At(int(51.2+12.8*(ringX+ringSize*cos)), int(51.2+12.8*(ringY+ringSize*sin))).RGBA()
	if got := (palette.Colour{R: uint8(r >> 8), G: uint8(g >> 8), B: uint8(b >> 8)}); got != colours["paper"].Light {
		t.Errorf("the gap is %v, want %v", got, colours["paper"].Light)
	}
}
