package browser

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// photograph is what the window shows of the page, from the top of the part that the selector names; "" for the page's own top.
func (tb *tab) photograph(t testing.TB, part string) image.Image {
	t.Helper()
	eval[bool](t, tb, `((part) => {
		scrollTo({ top: part ? part.getBoundingClientRect().top + scrollY - 12 : 0, behavior: 'instant' });
		return `+drawnTwice+`;
	})(`+quote(part)+` && document.querySelector(`+quote(part)+`))`)
	got, err := chromedp.Call(tb.ctx, page.CaptureScreenshot, page.CaptureScreenshotParams{})
	must(t, err)
	picture, err := png.Decode(bytes.NewReader(got.Data))
	must(t, err)
	return picture
}

// slack is what two pictures may differ in: most is the share of points of which a part of the colour, from 0 to 1, may differ
// by more than far.
type slack struct{ far, most float64 }

// samePicture compares with the picture committed under the name, from the project's root, or writes it with -update. What is changed
// shows in a second picture too: on a busy machine Chromium once left a stretch of text out of one. A wrong picture, and one of where it
// differs, are kept in a folder of their own.
func samePicture(t testing.TB, file string, take func() image.Image, may ...slack) {
	t.Helper()
	got := take()
	kept, err := png.Decode(bytes.NewReader(golden(t, file, encoded(t, got))))
	must(t, err)
	over := func(s slack) bool { return differing(kept, got, s.far) > s.most }
	if slices.ContainsFunc(may, over) {
		got = take()
	}
	at := slices.IndexFunc(may, over)
	if at < 0 {
		return
	}
	folder, err := os.MkdirTemp("", "centrode-pictures-")
	must(t, err)
	must(t, os.WriteFile(filepath.Join(folder, path.Base(file)), encoded(t, got), 0o644))
	must(t, os.WriteFile(filepath.Join(folder, "difference-"+path.Base(file)), encoded(t, changed(kept, got, may[at].far)), 0o644))
	t.Errorf("%s: %.2f %% of its points look different, allowed %.2f %%; look at the new picture and at where it differs in %s, and if it is meant so, run this test with -update",
		file, 100*differing(kept, got, may[at].far), 100*may[at].most, folder)
}

func encoded(t testing.TB, picture image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	must(t, (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, picture))
	return b.Bytes()
}

// differ tells whether a part of two colours, from 0 to 1, differs by more than that.
func differ(a, b color.Color, than float64) bool {
	far := func(x, y uint32) bool { return float64(max(x, y)-min(x, y)) > 0xffff*than }
	r, g, l, _ := a.RGBA()
	u, v, w, _ := b.RGBA()
	return far(r, u) || far(g, v) || far(l, w)
}

// changed is the new picture in pale greys, and in black what looks different.
func changed(kept, now image.Image, far float64) image.Image {
	size, from, to := now.Bounds().Size(), kept.Bounds().Min, now.Bounds().Min
	picture := image.NewGray(image.Rect(0, 0, size.X, size.Y))
	for y := range size.Y {
		for x := range size.X {
			old, new := image.Pt(from.X+x, from.Y+y), now.At(to.X+x, to.Y+y)
			if !old.In(kept.Bounds()) || differ(kept.At(old.X, old.Y), new, far) {
				continue // black
			}
			picture.SetGray(x, y, color.Gray{192 + color.GrayModel.Convert(new).(color.Gray).Y/4})
		}
	}
	return picture
}

// differing is the share of points of which a part of the colour differs by more than far; 1 where the sizes differ.
func differing(a, b image.Image, far float64) float64 {
	if a.Bounds().Size() != b.Bounds().Size() {
		return 1
	}
	count := 0
	size, from, to := a.Bounds().Size(), a.Bounds().Min, b.Bounds().Min
	for y := range size.Y {
		for x := range size.X {
			if differ(a.At(from.X+x, from.Y+y), b.At(to.X+x, to.Y+y), far) {
				count++
			}
		}
	}
	return float64(count) / float64(size.X*size.Y)
}

// within is a picture cut to a rectangle.
type within struct {
	image.Image
	bounds image.Rectangle
}

func (w within) Bounds() image.Rectangle { return w.bounds }

// tenth is how far a part of a colour may differ where nobody would see it.
const tenth = 0.1

// The pictures of README.md are photographs of the site as it is now.
func TestThePhotographsOfTheREADMEAreCurrent(t *testing.T) {
	parallel(t)
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	must(t, err)
	for _, c := range []struct {
		file, address, part string // at whose top the window begins; "" for the page
		view                view
	}{
		{"theme/readme-home.png", "/", "", view{width: 1100, height: 720, still: true}},
		{"theme/readme-plate.png", "/lessons/the-owed-translation/", "[data-plate]", view{width: 1200, height: 820, still: true}},
		{"theme/readme-phone.png", "/checks/how-far-off/", "", view{width: 360, height: 720, still: true, dark: true}},
	} {
		t.Run(path.Base(c.file), func(t *testing.T) {
			tb := open(t, c.address, c.view)
			tb.settle(t)
			take := func() image.Image { return tb.photograph(t, c.part) }
			picture := take()
			if blank := image.NewUniform(picture.At(0, 0)); differing(picture, within{blank, picture.Bounds()}, tenth) < 0.01 {
				t.Error("the picture is as good as empty")
			}
			samePicture(t, c.file, take, slack{tenth, 0.02})
			if info, err := os.Stat(filepath.Join("..", "..", filepath.FromSlash(c.file))); err != nil || info.Size() > 150_000 {
				t.Errorf("the picture takes %d bytes, allowed 150000 (%v)", info.Size(), err)
			}
			if !regexp.MustCompile(`!\[[^\]]{40,}\]\(` + regexp.QuoteMeta(c.file) + `\)`).Match(readme) {
				t.Errorf("README.md does not show %s, or has no words in its place", c.file)
			}
		})
	}
}

// The check of the check: three points in a hundred, and a size.
func TestAChangedPictureIsSeen(t *testing.T) {
	parallel(t)
	a, b := image.NewGray(image.Rect(0, 0, 10, 10)), image.NewGray(image.Rect(5, 5, 15, 15))
	for i := range 3 {
		b.Pix[11*i] = 30
	}
	if got := differing(a, b, tenth); got != 0.03 {
		t.Errorf("the share of points that differ is %v, want 0.03", got)
	}
	b.Pix[50] = 20 // less than a tenth
	if got := differing(a, b, tenth); got != 0.03 {
		t.Errorf("with a faint difference the share is %v, want 0.03", got)
	}
	if got := differing(a, image.NewGray(image.Rect(0, 0, 10, 11)), tenth); got != 1 {
		t.Errorf("two sizes differ by %v", got)
	}
}
