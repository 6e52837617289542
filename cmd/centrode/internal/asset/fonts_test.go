package asset

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/image/font/sfnt"
)

func TestFontsAreAskedForWhatPagesShowAndWhatMayComeLater(t *testing.T) {
	l := Letters{map[rune]bool{'Ж': true, '7': true, '⨯': true}, map[rune]bool{'Ω': true, '⨯': true, '7': true}}
	for text, want := range map[string]bool{"Ж": true, "7": true, "ä": true, "ß": true, "„": true, "−": true, "ψ": false, "ю": false, "⨯": true, "a": true} {
		if got := strings.Contains(l.text(), text); got != want {
			t.Errorf("the text holds %s: %v, want %v", text, got, want)
		}
	}
	for text, want := range map[string]bool{"Ω": true, "𝛺": true, "⨯": true, "𝑥": true, "ℎ": true, "Ж": false} {
		if got := strings.Contains(l.maths(), text); got != want {
			t.Errorf("formulas hold %s: %v, want %v", text, got, want)
		}
	}
}

// mostFonts bounds all fonts together: 471 kB before they were cut, 113 kB with italics in one weight.
const mostFonts = 125_000

func TestFontsHoldTheLettersOfTheSiteAndNoMore(t *testing.T) {
	o := Options{Root: project(t), Letters: func() Letters {
		return Letters{map[rune]bool{'x': true, '⨯': true}, map[rune]bool{'⨯': true}}
	}}
	cut, err := cutFonts(o)
	if err != nil {
		t.Fatal(err)
	}
	total := 0
	for file, f := range cut {
		total += len(f.Packed)
		if !bytes.HasPrefix(f.Packed, []byte("wOF2")) {
			t.Errorf("%s is packed as %.4q", file, f.Packed)
		}
		font, err := sfnt.Parse(f.Plain)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		for id, want := range map[sfnt.NameID]string{sfnt.NameIDFamily: faces[file].name, sfnt.NameIDLicense: "Open Font License"} {
			if got, err := font.Name(nil, id); err != nil || !strings.Contains(got, want) {
				t.Errorf("%s: name %d is %q, want %q (%v)", file, id, got, want, err)
			}
		}
		if name, err := font.Name(nil, sfnt.NameIDCopyright); err != nil || name == "" {
			t.Errorf("%s lost its copyright: %v", file, err)
		}
		inside, outside := []rune("aäß„−7×"), []rune("Жשק")
		if faces[file].maths {
			inside, outside = []rune("a7𝑥𝛺∑√⟨⨯"), []rune("𝔄𝕏Ж")
			if !bytes.Contains(f.Plain[:512], []byte("MATH")) {
				t.Errorf("%s lost its table for mathematics", file)
			}
		}
		for _, r := range inside {
			if glyph, err := font.GlyphIndex(nil, r); err != nil || glyph == 0 {
				t.Errorf("%s lacks %c", file, r)
			}
		}
		for _, r := range outside {
			if glyph, err := font.GlyphIndex(nil, r); err != nil || glyph != 0 {
				t.Errorf("%s holds %c, which no page shows", file, r)
			}
		}
	}
	if total > mostFonts || len(cut) != len(faces) {
		t.Errorf("%d fonts of %d bytes together, want %d of at most %d", len(cut), total, len(faces), mostFonts)
	}
	wantStandIns(t, cut)
	wantSameBytes(t, o, cut)
}

// wantStandIns holds the stand-ins to what a browser measured by hand before the build computed them: within 2 %.
func wantStandIns(t *testing.T, cut map[string]cutFont) {
	t.Helper()
	rules, err := standIns(cut)
	if err != nil {
		t.Fatal(err)
	}
	for family, want := range map[string][3]float64{"Serif stand-in": {117.5, 88.2, 28.5}, "Sans stand-in": {93.6, 109.4, 42.7}, "Mono stand-in": {100, 102, 30}} {
		m := regexp.MustCompile(`"` + family + `"; font-style: normal; .*size-adjust: ([0-9.]+)%; ascent-override: ([0-9.]+)%; descent-override: ([0-9.]+)%`).FindStringSubmatch(rules)
		if m == nil {
			t.Fatalf("no rule for %s:\n%s", family, rules)
		}
		for i, w := range want {
			if got, _ := strconv.ParseFloat(m[i+1], 64); !(got > w*0.98 && got < w*1.02) {
				t.Errorf("%s: figure %d is %v, measured %v", family, i, got, w)
			}
		}
	}
}

func wantSameBytes(t *testing.T, o Options, cut map[string]cutFont) {
	t.Helper()
	names, orders, _, err := o.fontOrders(o.Letters())
	if err != nil {
		t.Fatal(err)
	}
	answer, err := runSubset(o, orders[:1])
	var again []cutFont
	if err != nil || json.Unmarshal(answer, &again) != nil || len(again) != 1 {
		t.Fatal(err)
	}
	if !bytes.Equal(again[0].Packed, cut[names[0]].Packed) {
		t.Errorf("%s is cut otherwise the second time", names[0])
	}
}
