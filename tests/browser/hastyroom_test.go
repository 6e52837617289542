package browser

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"centrode/calc/character"
)

// openRoomGated opens the room behind the gate, with the second of the cast in it.
func openRoomGated(t testing.TB) (fitting, character.Character) {
	t.Helper()
	f := fitting{blank(t, view{still: true})}
	f.early(t, gate)
	f.visit(t, origin+"/fitting-room/")
	f.until(t, `document.querySelector('[data-room][data-state="on"]')`)
	return f, f.flawed(t)
}

// A reader's own file is not taken away by the character that the page was about to show, and is drawn though it came before that could be.
func TestAFileBroughtEarlyIsDrawnAndStays(t *testing.T) {
	line := newWire(t)
	letCome := line.holds(t, "/assets/ink.")
	f := fitting{blank(t, view{still: true})}
	f.visit(t, line.origin+"/fitting-room/")
	f.until(t, loaded+` && document.querySelector('[data-stage]')`)
	f.until(t, `performance.getEntriesByName('alive').length > 0`)
	c := character.All()[1]
	f.bring(t, "own.glb", c.GLB())
	f.until(t, `document.querySelector('[data-notice]').textContent !== ''`)
	letCome()
	f.until(t, `document.querySelector('[data-room][data-state="on"]')`)
	f.settled(t)
	eval[bool](t, f.tab, `new Promise((done) => setTimeout(() => done(true), 1000))`) // the other one would come in this time
	f.settled(t)
	if about := f.text(t, "[data-about]"); !strings.HasPrefix(about, "own.glb") {
		t.Errorf("the room shows %q, and the reader brought own.glb", about)
	}
	f.picture(t)
	if empty := eval[bool](t, f.tab, `((c) => c.toDataURL() === Object.assign(document.createElement('canvas'), { width: c.width, height: c.height }).toDataURL())(document.querySelector('[data-surface]'))`); empty {
		t.Error("its surface is not drawn")
	}
	line.clean(t, f.tab)
}

// Who asks again after the engine could not be had gets it.
func TestTheRoomStartsItsEngineAgain(t *testing.T) {
	line := newWire(t)
	line.loses(".wasm")
	f := fitting{blank(t, view{still: true})}
	f.visit(t, line.origin+"/fitting-room/")
	f.until(t, `/^(The engine|404)/.test(document.querySelector('[data-notice]').textContent)`)
	if said := f.text(t, "[data-notice]"); !strings.HasPrefix(said, "The engine of the fitting room could not be loaded here.") {
		t.Errorf("without its engine the room says %q", said)
	}
	line.loses("")
	f.run(t, `document.querySelector('[data-cast]').click()`)
	f.until(t, `document.querySelector('[data-room][data-state="on"]')`)
}

// A proposal goes to the joint that it was made for, though another is chosen by then.
func TestAProposalGoesToItsJoint(t *testing.T) {
	f, c := openRoomGated(t)
	f.run(t, `held = ({ name }) => name === 'propose'; document.querySelector('[data-do="propose"]').click()`)
	f.run(t, `[...document.querySelectorAll('[data-joint]')].find((j) => j.textContent !== `+quote(c.Flawed)+`).click()`)
	f.settled(t)
	f.run(t, `letAll()`)
	f.until(t, `!document.querySelector('[data-found]').hidden`)
	f.settled(t)
	if moved := eval[[]string](t, f.tab, `[...document.querySelectorAll('[data-joint][data-moved]')].map((j) => j.textContent)`); len(moved) != 1 || moved[0] != c.Flawed {
		t.Errorf("the joints %q are moved, want %s alone", moved, c.Flawed)
	}
	f.clean(t)
}

// A plan that comes when its pivot has moved on is not shown.
func TestAPlanOfAnEarlierPivotIsNotShown(t *testing.T) {
	f, _ := openRoomGated(t)
	f.set(t, "x", "1")
	f.run(t, `held = ({ name }) => name === 'plan'; document.querySelector('[data-do="plan"]').click()`)
	f.set(t, "x", "2")
	f.run(t, `letAll()`)
	f.set(t, "drag", "y") // asked after it, so answered after it
	if eval[bool](t, f.tab, `!document.querySelector('[data-plan]').hidden`) {
		t.Error("the plan of a pivot that no longer stands is shown")
	}
	f.press(t, "plan")
	f.until(t, `!document.querySelector('[data-plan]').hidden`)
	f.clean(t)
}

// A second finger that comes down in a drag does not leave the sentence silent.
func TestASecondFingerEndsADrag(t *testing.T) {
	f := openRoom(t, phone)
	_, err := chromedp.Call(f.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
	must(t, err)
	at := f.diamond(t)
	f.touch(t, input.DispatchTouchEventTypeTouchStart, at)
	f.touch(t, input.DispatchTouchEventTypeTouchMove, point{at.X + 20, at.Y - 10})
	f.until(t, `document.querySelector('[data-say]').getAttribute('aria-busy') === 'true'`)
	f.touch(t, input.DispatchTouchEventTypeTouchStart, point{at.X + 20, at.Y - 10}, point{at.X + 60, at.Y + 40})
	f.settled(t)
	f.touch(t, input.DispatchTouchEventTypeTouchEnd)
	f.settled(t)
	f.until(t, `document.querySelector('[data-say]').getAttribute('aria-busy') === 'false'`)
	f.clean(t)
}

// A step that is taken back while a clip runs ends the run, and can be done again.
func TestUndoEndsARunningClip(t *testing.T) {
	f, _ := openRoomGated(t)
	f.set(t, "clip", "0")
	f.run(t, `document.querySelector('[data-do="play"]').click()`)
	f.until(t, `Number(document.querySelector('input[type="text"][data-field="time"]').value) > 0.05`)
	f.press(t, "undo")
	f.picture(t) // frames in which the clip would run on
	f.picture(t)
	f.settled(t)
	if time := eval[string](t, f.tab, `document.querySelector('input[type="text"][data-field="time"]').value`); time != "0" {
		t.Errorf("taken back, the clip is at %s s", time)
	}
	if eval[bool](t, f.tab, `document.querySelector('[data-do="redo"]').disabled`) {
		t.Error("what was taken back cannot be done again")
	}
	f.clean(t)
}
