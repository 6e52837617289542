package browser

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// posedLandmarks are invented landmarks in that many poses besides rest, about (1, −0.5, 0), as a spreadsheet copies them.
func posedLandmarks(landmarks, poses int) string {
	random := rand.New(rand.NewPCG(1, 1))
	rest := make([][3]float64, landmarks)
	for i := range rest {
		rest[i] = [3]float64{20 + 20*(random.Float64()-0.5), 10 * (random.Float64() - 0.5), 10 * (random.Float64() - 0.5)}
	}
	var b strings.Builder
	for pose := range poses + 1 {
		sin, cos := math.Sincos(2 * float64(pose) * (random.Float64() - 0.3))
		if pose == 0 {
			sin, cos = 0, 1
		}
		for _, p := range rest {
			x, y := p[0]-1, p[1]+0.5
			posed := [3]float64{1 + cos*x - sin*y, -0.5 + sin*x + cos*y, p[2]}
			b.WriteString(strconv.Itoa(pose))
			for _, v := range posed {
				b.WriteString("\t" + strconv.FormatFloat(v+0.01*random.NormFloat64(), 'f', 3, 64))
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// heartbeat counts frames of the page from now on.
const heartbeat = `(() => {
	window.beats = { count: 0, worst: 0, last: performance.now() };
	const beat = (now) => {
		beats.worst = Math.max(beats.worst, now - beats.last);
		beats.last = now;
		beats.count++;
		requestAnimationFrame(beat);
	};
	requestAnimationFrame(beat);
	return true;
})()`

// typed fills a field at once and does not wait for the answer.
func (p livePlate) typed(t testing.TB, id, text string) {
	t.Helper()
	p.unfold(t)
	eval[bool](t, p.tab, `((input) => { input.value = '`+text+`'; input.dispatchEvent(new Event('change', { bubbles: true })); return true; })(`+p.field(id, ``)+`)`)
}

const working = `document.querySelector('.plate-progress progress')?.value > 0`

func TestALargeMapIsComputedBesideThePageAndCanBeStopped(t *testing.T) {
	p := openPlate(t, "placement-map", "")
	p.paste(t, "landmarks", 0, 0, posedLandmarks(30, 20))
	p.until(t, p.at(`.querySelector('[data-table-span]').textContent === 'Rows 1 to 100 of 630'`))
	eval[bool](t, p.tab, heartbeat)
	p.typed(t, "cells", "400")
	p.until(t, working)
	words := eval[string](t, p.tab, `document.querySelector('.plate-progress p').textContent`)
	if !strings.HasPrefix(words, "Computing: ") || !strings.HasSuffix(words, " of 400 rows done.") {
		t.Errorf("the page says %q", words)
	}
	before := eval[int](t, p.tab, `beats.count`)
	p.until(t, `beats.count > `+strconv.Itoa(before)+` + 5 && `+working) // frames go by while the map is computed
	if back := eval[bool](t, p.tab, `((field, button) => (field.focus(), button.focus(), button.click(), document.activeElement === field))(`+p.field("cells", ``)+`, document.querySelector('.plate-progress button'))`); !back {
		t.Error("with the button gone the focus is nowhere; want it where it was before")
	}
	rough := p.say(t)
	if gone := eval[bool](t, p.tab, `!document.querySelector('.plate-progress')`); !gone || !strings.HasPrefix(p.notice(t), "Stopped. ") {
		t.Errorf("after Cancel the bar is gone: %v, and the page says %q", gone, p.notice(t))
	}
	p.drawn(t)
	if now := p.say(t); now != rough {
		t.Errorf("after Cancel the answer changes from %q to %q", rough, now)
	}
	p.typed(t, "tolerance", "0.1")
	p.until(t, working)
	p.typed(t, "tolerance", "0.2") // a newer edit ends the older run
	p.drawn(t)
	if notice := p.notice(t); strings.HasPrefix(notice, "Stopped") {
		t.Errorf("the newer run ends with %q", notice)
	}
	if left := eval[string](t, p.tab, p.at(`.querySelector('[data-answer="cells"] tbody').lastElementChild.textContent`)); !strings.Contains(left, strconv.Itoa(400*400-24)) {
		t.Errorf("the last row of cells says %q, want the rest of 160000", left)
	}
	p.clean(t)
}

func TestAMapIsReadUnderThePointerAndByKeys(t *testing.T) {
	p := openPlate(t, "placement-map", "")
	words := func() string {
		p.drawn(t)
		return eval[string](t, p.tab, p.at(`.querySelector('.plate-probe').textContent`))
	}
	p.drawn(t)
	at := p.middle(t, ".heat-frame")
	must(t, chromedp.Do(p.ctx, chromedp.MouseEvent("mouseMoved", at.X, at.Y)))
	pointed := words()
	if !strings.HasPrefix(pointed, "x 1.0") || !strings.Contains(pointed, "\u00a0cm: rotation alone leaves ") {
		t.Errorf("in the middle of the map, at x = 1, y = 0, the page says %q", pointed)
	}
	eval[bool](t, p.tab, `(`+p.at(`.querySelector('.probe').focus()`)+`, true)`)
	seen := map[string]bool{words(): true}
	for _, key := range []string{kb.ArrowRight, kb.ArrowUp, kb.ArrowUp} {
		p.keys(t, key, false)
		if text := words(); seen[text] {
			t.Errorf("after an arrow key the page says again %q", text)
		} else {
			seen[text] = true
		}
	}
	for range 200 {
		must(t, chromedp.Do(p.ctx, chromedp.KeyEvent(kb.ArrowLeft, chromedp.KeyModifiers(kb.ModifierShift))))
	}
	if text := words(); !strings.HasPrefix(text, "x −5.00\u00a0cm") {
		t.Errorf("at the left edge the page says %q", text)
	}
	before := words()
	p.paste(t, "landmarks", 0, 0, posedLandmarks(3, 3))
	if text := words(); !strings.HasPrefix(text, "x ") || text == before {
		t.Errorf("over other landmarks the page says still %q", text)
	}
	if live := eval[string](t, p.tab, p.at(`.querySelector('.plate-probe').getAttribute('aria-live')`)); live != "polite" {
		t.Errorf("the words are announced %q", live)
	}
	p.clean(t)
}

// A map over 30 landmarks in 20 poses, from the number typed to the drawing. Run with -benchtime 1x.
func BenchmarkMap(b *testing.B) {
	p := openPlate(b, "placement-map", "")
	p.paste(b, "landmarks", 0, 0, posedLandmarks(30, 20))
	for _, cells := range []string{"200", "400"} {
		b.Run("cells="+cells+"²", func(b *testing.B) {
			for b.Loop() {
				p.typed(b, "cells", "100")
				p.drawn(b)
				eval[bool](b, p.tab, heartbeat)
				began := time.Now()
				p.typed(b, "cells", cells)
				p.drawn(b)
				b.ReportMetric(float64(time.Since(began).Milliseconds()), "ms/drawn")
				b.ReportMetric(eval[float64](b, p.tab, `beats.worst`), "ms/longest-frame")
			}
			b.ReportMetric(0, "ns/op")
		})
	}
	p.clean(b)
}
