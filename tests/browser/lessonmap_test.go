package browser

import "testing"

// overlaps counts pairs of lines of words on the map that cover each other, and words that leave the sheet. The build
// reserved room without measuring; here the browser's own faces are measured. Boxes are taller than letters by some pixels.
const overlaps = `(() => {
	const sheet = document.querySelector('.map').getBoundingClientRect();
	const boxes = [...document.querySelectorAll('.map-words > [x], .map-part')].map((word) => word.getBoundingClientRect());
	const meet = (a, b) => a.left < b.right && b.left < a.right && a.top + 4 < b.bottom - 4 && b.top + 4 < a.bottom - 4;
	return boxes.filter((a) => a.right > sheet.right).length + boxes.filter((a, i) => boxes.slice(0, i).some((b) => meet(a, b))).length;
})()`

// struck counts words that a line runs through.
const struck = `(() => {
	const lines = [...document.querySelectorAll('.map-line')];
	const points = lines.flatMap((line) => {
		const length = line.getTotalLength();
		return Array.from({ length: Math.ceil(length / 2) }, (_, i) => line.getPointAtLength(i * 2));
	});
	return [...document.querySelectorAll('.map-words')].filter((word) => {
		const box = word.getBBox();
		return points.some((p) => p.x > box.x && p.x < box.x + box.width && p.y > box.y + 2 && p.y < box.y + box.height - 2);
	}).length;
})()`

func TestTheLessonMapIsReadableAtEveryWidth(t *testing.T) {
	parallel(t)
	for _, address := range []string{"/lessons/", pagesIn(t, "paths")[0]} {
		t.Run("desk"+address, func(t *testing.T) {
			tb := open(t, address, view{})
			tb.until(t, `document.fonts.status === 'loaded' && document.fonts.check('15px "Handbook Sans"')`)
			if n := eval[int](t, tb, `document.querySelectorAll('.map-place').length`); n < 5 {
				t.Errorf("%d lessons on the map", n)
			}
			if n := eval[int](t, tb, overlaps); n != 0 {
				t.Errorf("%d words overlap or leave the sheet", n)
			}
			if n := eval[int](t, tb, struck); n != 0 {
				t.Errorf("a line runs through %d titles", n)
			}
			if !eval[bool](t, tb, `document.querySelector('.map-scroll').scrollWidth <= document.querySelector('.map-scroll').clientWidth`) {
				t.Error("the map does not fit a desk's page")
			}
			tb.clean(t)
		})
		t.Run("phone"+address, func(t *testing.T) {
			tb := open(t, address, phone)
			if !eval[bool](t, tb, `!document.querySelector('.map').checkVisibility() && [...document.querySelectorAll('.map-branch > a')].every((a) => a.getBoundingClientRect().height > 0 && a.getBoundingClientRect().right <= innerWidth)`) {
				t.Error("the list does not stand open in the map's place")
			}
			if !eval[bool](t, tb, `document.querySelectorAll('.map-branch').length === document.querySelectorAll('.map-place').length`) {
				t.Error("list and drawing do not hold the same lessons")
			}
			tb.clean(t)
		})
	}
}

// TestALessonsDataIsNoScript holds the page to its policy: clean reports refused content.
func TestALessonsDataIsNoScript(t *testing.T) {
	parallel(t)
	tb := open(t, pagesIn(t, "lessons")[0], view{})
	if kind := eval[string](t, tb, `JSON.parse(document.querySelector('script[type="application/ld+json"]').textContent)['@type']`); kind != "LearningResource" {
		t.Errorf("the lesson calls itself %q", kind)
	}
	tb.clean(t)
}
