package browser

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// hostile are texts that would run or tear the page where somebody forgot to escape them. Each sets hacked.
var hostile = []string{
	`<img src=x onerror="hacked=1">`, `"><script>hacked=1</script>`, `</svg><svg onload="hacked=1">`, `' autofocus onfocus='hacked=1`,
	`<style>*{display:none}</style>`, `</title></textarea><iframe srcdoc="<script>parent.hacked=1</script>">`, `<a href="javascript:hacked=1">x</a>`,
	"${hacked=1}{{hacked=1}}", strings.Repeat("W", 110),
}

// hostileTab is a narrow tab, with the content policy of the site or without any: then the escaping stands alone.
func hostileTab(t *testing.T, bare bool) *tab {
	t.Helper()
	tb := blank(t, view{width: 390, height: 800, still: true})
	if bare {
		_, err := chromedp.Call(tb.ctx, page.SetBypassCSP, page.SetBypassCSPParams{Enabled: true})
		must(t, err)
	}
	return tb
}

// unharmed waits for two frames, and then nothing ran, nothing was put in, and the page fits its width.
func (tb *tab) unharmed(t *testing.T, where string) {
	t.Helper()
	got := eval[string](t, tb, `new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => {
		const wrong = [];
		if ('hacked' in window) wrong.push('a script ran');
		if (document.querySelector('iframe, main style, main script:not([type]), main img[src="x"], a[href^="javascript:"], [onerror], [onload], [onfocus]')) wrong.push('an element was put in');
		if (document.documentElement.scrollWidth > document.documentElement.clientWidth) wrong.push('the page scrolls sideways for ' + `+whatIsWide+`);
		if (getComputedStyle(document.querySelector('h1')).display === 'none') wrong.push('the page is hidden');
		done(wrong.join(', '));
	})))`)
	if got != "" {
		t.Errorf("%s: %s", where, got)
	}
}

func TestHostileTextsNeitherRunNorTearThePage(t *testing.T) {
	parallel(t)
	for name, bare := range map[string]bool{"with the policy": false, "without the policy": true} {
		t.Run(name, func(t *testing.T) {
			tb := hostileTab(t, bare)
			tb.visit(t, origin+"/404.html")
			if ran := eval[bool](t, tb, `(() => { const s = document.createElement('script'); s.textContent = 'proof=1'; document.body.append(s); return 'proof' in window; })()`); ran != bare {
				t.Fatalf("an inline script runs: %v", ran)
			}
			hostileSheets(t, tb)
			hostileProgress(t, tb)
			hostileLinks(t, tb)
			hostileTable(t, tb)
			hostileModel(t, tb)
		})
	}
}

// hostileSheets opens sheets with every text hostile.
func hostileSheets(t *testing.T, tb *tab) {
	t.Helper()
	for i := range 4 {
		text := func(n int) string { return hostile[min(3*i+n, len(hostile)-1)] } // the last sheet is all of the long word
		sheet, err := json.Marshal(map[string]any{"format": "centrode-sheet-1", "title": text(0), "character": text(1), "reviewer": text(2), "reasons": text(0), "entries": []any{
			map[string]any{"title": text(0), "joint": text(1), "calculator": "hinge-arc", "current": "", "candidate": "candidate_y=-2", "numbers": []any{map[string]any{"id": text(2), "candidate": 1}}},
			map[string]any{"title": text(2), "joint": text(0), "measured": text(1), "current": []int{0, 0, 0}, "candidate": []int{1, 0, 0}, "parent": []int{0, 9, 0}, "child": []int{0, -9, 0},
				"numbers": []any{map[string]any{"id": "a", "label": text(1), "candidate": 1}}},
		}})
		must(t, err)
		tb.visit(t, origin+"/sheet/?"+strconv.Itoa(i)+"#j="+url.PathEscape(string(sheet))) // another query, or it would not be loaded again
		tb.until(t, `document.querySelector('[data-sheet]')?.dataset.ready !== undefined`)
		if got := eval[string](t, tb, `document.querySelector('.sheet-title')?.textContent ?? document.querySelector('[data-sheet-status]').textContent`); got != text(0) {
			t.Errorf("sheet %d shows %q, want %q", i, got, text(0))
		}
		tb.unharmed(t, "sheet "+strconv.Itoa(i))
	}
}

func hostileProgress(t *testing.T, tb *tab) {
	t.Helper()
	tb.visit(t, origin+"/progress/")
	tb.until(t, `!document.querySelector('[data-progress-tools]').hidden`)
	for _, text := range hostile {
		for _, record := range []any{
			map[string]any{"format": text}, map[string]any{"format": "centrode-progress-1", "lessons": map[string]any{text: map[string]any{"read": true}}, "exercises": map[string]any{}},
			map[string]any{"format": "centrode-progress-1", "lessons": map[string]any{}, "exercises": map[string]any{"a/" + text: map[string]any{"tries": 1, "own": true, "fresh": 0, "shown": false}}},
		} {
			data, err := json.Marshal(record)
			must(t, err)
			eval[bool](t, tb, `(document.querySelector('[data-progress-status]').textContent = '', true)`)
			choose(t, tb, `[data-read]`, string(data))
			tb.until(t, `document.querySelector('[data-progress-status]').textContent`)
		}
	}
	tb.unharmed(t, "progress")
	if kept := eval[string](t, tb, `localStorage.getItem('centrode-progress') ?? ''`); strings.Contains(kept, "hacked") {
		t.Errorf("the record holds %s", kept)
	}
}

func hostileLinks(t *testing.T, tb *tab) {
	t.Helper()
	places := []string{"/plates/hinge-arc/?%d#s=", "/plates/hinge-arc/?%d#plate-hinge-arc?candidate_y=", "/checks/will-it-close/?%d#", "/sheet/?%d#j=", "/sheet/?%d#z=", "/lessons/the-owed-translation/?%d#"}
	for i, text := range hostile {
		tb.visit(t, origin+fmt.Sprintf(places[i%len(places)], i)+url.PathEscape(text))
		tb.until(t, alive)
		tb.unharmed(t, "link "+text)
	}
}

func hostileTable(t *testing.T, tb *tab) {
	t.Helper()
	tb.visit(t, origin+"/plates/hinge-plane/")
	tb.settle(t)
	for _, text := range hostile {
		cell, err := json.Marshal("\"" + strings.ReplaceAll(text, `"`, `""`) + "\",y,z\n1,\"" + strings.ReplaceAll(text, `"`, `""`) + "\",3\n2,3,4\n5,6,8\n")
		must(t, err)
		eval[bool](t, tb, `((box) => {
			const dataTransfer = new DataTransfer();
			dataTransfer.items.add(new File([`+string(cell)+`], 'points.csv', { type: 'text/csv' }));
			document.querySelector('[data-table-status]').textContent = '';
			box.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }));
			return true;
		})(document.querySelector('[data-table-status]').closest('[data-table]') ?? document.querySelector('[data-table-status]').parentElement)`)
		tb.until(t, `document.querySelector('[data-table-status]').textContent`)
	}
	tb.unharmed(t, "table")
}

// hostileModel drops a character whose every name is hostile.
func hostileModel(t *testing.T, tb *tab) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(public, "cast", "odalys-arm.glb"))
	must(t, err)
	tb.visit(t, origin+"/fitting-room/")
	tb.until(t, `document.querySelector('[data-room][data-state="on"]')`)
	f := fitting{tb}
	f.bring(t, `<img src=x onerror="hacked=1">.glb`, renamed(t, data))
	tb.until(t, `document.querySelector('[data-room]').textContent.includes('hacked=1')`)
	f.settled(t)
	tb.unharmed(t, "model")
}

// renamed gives every named thing of a GLB file a hostile name.
func renamed(t *testing.T, glb []byte) []byte {
	t.Helper()
	long := binary.LittleEndian.Uint32(glb[12:])
	var root map[string]any
	must(t, json.Unmarshal(glb[20:20+long], &root))
	n := 0
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, one := range v {
				walk(one)
			}
		case map[string]any:
			if _, ok := v["name"]; ok {
				v["name"] = hostile[n%len(hostile)] + strconv.Itoa(n)
				n++
			}
			for _, one := range v {
				walk(one)
			}
		}
	}
	walk(root)
	text, err := json.Marshal(root)
	must(t, err)
	for len(text)%4 != 0 {
		text = append(text, ' ')
	}
	out := append([]byte{}, glb[:12]...)
	out = binary.LittleEndian.AppendUint32(out, uint32(len(text)))
	out = append(append(append(out, glb[16:20]...), text...), glb[20+long:]...)
	binary.LittleEndian.PutUint32(out[8:], uint32(len(out)))
	return out
}
