package asset

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// The Liberation fonts were drawn to the widths of Times New Roman, Arial and Courier New, and Debian ships them
// (fonts-liberation); they are the witness for the widths, which stand in the source from memory.
func TestStandInsAreAsWideAsTheLiberationFonts(t *testing.T) {
	folder := os.Getenv("LIBERATION") // tests/run.sh sets it: Go keeps what a test gave, and looks again only when this changes
	if folder == "" {
		folder = "/usr/share/fonts/truetype/liberation"
		if _, err := os.Stat(folder); err != nil {
			t.Skip("the Liberation fonts were not found; tests/run.sh installs them (on Debian: apt-get install fonts-liberation)")
		}
	}
	for widths, file := range map[string]string{
		timesWidths: "LiberationSerif-Regular.ttf", italicWidths: "LiberationSerif-Italic.ttf",
		arialWidths: "LiberationSans-Regular.ttf", courierWidths: "LiberationMono-Regular.ttf",
	} {
		data, err := os.ReadFile(filepath.Join(folder, file))
		if err != nil {
			t.Fatal(err)
		}
		f, err := sfnt.Parse(data)
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		var buffer sfnt.Buffer
		size := fixed.I(int(f.UnitsPerEm()))
		for i, text := range strings.Fields(widths) {
			letter := []rune("abcdefghijklmnopqrstuvwxyz ")[i]
			glyph, err := f.GlyphIndex(&buffer, letter)
			if err != nil {
				t.Fatalf("%s: %q: %v", file, letter, err)
			}
			advance, err := f.GlyphAdvance(&buffer, glyph, size, font.HintingNone)
			if err != nil {
				t.Fatalf("%s: %q: %v", file, letter, err)
			}
			// The fonts count in parts of 2048 and the tables in thousandths, so a width may be one off.
			got, _ := strconv.ParseFloat(text, 64)
			if want := 1000 * float64(advance) / float64(size); math.Abs(got-want) > 1 {
				t.Errorf("%s: %q is %.1f thousandths wide; the table says %s", file, letter, want, text)
			}
		}
	}
}
