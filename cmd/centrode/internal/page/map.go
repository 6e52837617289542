package page

import (
	"html/template"
	"slices"

	"centrode/calc/figure"
	"centrode/cmd/centrode/internal/book"
	"centrode/cmd/centrode/internal/keep"
	"centrode/cmd/centrode/internal/lesson"
	"centrode/cmd/centrode/internal/mapping"
)

// Map is the map of prerequisites with the same as a list.
type Map struct {
	Drawing template.HTML // empty for a book too large to be drawn
	List    []mapping.Branch
	Marked  bool // some lessons are chosen and some are not, so that the marks need an explanation
}

// wholeMap shows all lessons.
func (s *site) wholeMap() *Map {
	return s.mapOf(s.lessonsBefore(func(lesson.Lesson) bool { return true }), nil,
		s.say("mapWhole"), s.say("mapWholeSay"))
}

// pathMap shows the lessons of a path, and those that they rest on.
func (s *site) pathMap(path book.Path) *Map {
	on := func(l lesson.Lesson) bool {
		return slices.ContainsFunc(path.Lessons, func(r lesson.Ref) bool { return r.Text == l.Slug })
	}
	return s.mapOf(s.lessonsBefore(on), on, s.say("mapPath", "path", path.Title), s.say("mapPathSay"))
}

// lessonsBefore lists the places in the book of the lessons asked for and of all that they rest on, in order.
func (s *site) lessonsBefore(asked func(lesson.Lesson) bool) []int {
	kept := make([]bool, len(s.Book.Lessons))
	var keep func(i int)
	keep = func(i int) {
		if kept[i] {
			return
		}
		kept[i] = true
		for _, r := range s.Book.Lessons[i].Needs {
			if need, ok := s.lessonIndex[r.Text]; ok {
				keep(need)
			}
		}
	}
	for i, l := range s.Book.Lessons {
		if asked(l) {
			keep(i)
		}
	}
	var list []int
	for i, yes := range kept {
		if yes {
			list = append(list, i)
		}
	}
	return list
}

// mostDrawn is how many lessons a drawing holds: more have no room on a page, and setting them in order takes a time that
// grows with the cube of their number. The list has all of them.
const mostDrawn = 120

// mapOf draws the lessons at these places in the book; there is none for fewer than two. chosen may be nil.
func (s *site) mapOf(lessons []int, chosen func(lesson.Lesson) bool, name, description string) *Map {
	if len(lessons) < 2 {
		return nil
	}
	plan := mapping.Plan{ID: "lesson-map", Name: name, Description: description}
	for number := 1; number <= partCount; number++ {
		title, _ := s.partName(number)
		plan.Bands = append(plan.Bands, s.say("part", "number", number)+"  "+title)
	}
	count := 0
	at := map[int]int{} // place in the book → place on the map
	for on, i := range lessons {
		at[i] = on
	}
	for _, i := range lessons {
		l := s.Book.Lessons[i]
		place := mapping.Place{Language: s.foreign(), Href: lessonHref(l.Slug), Title: l.Title, Band: l.Part - 1, Chosen: chosen != nil && chosen(l)}
		for _, r := range l.Needs {
			if need, ok := s.lessonIndex[r.Text]; ok {
				place.Needs = append(place.Needs, at[need])
			}
		}
		if place.Chosen {
			count++
		}
		plan.Places = append(plan.Places, place)
	}
	m := &Map{List: mapping.Tree(plan)}
	if len(lessons) <= mostDrawn {
		m.Marked = count > 0 && count < len(lessons)
		m.Drawing = keep.Of(s.Kept, "map "+keep.SumValues(plan), func() template.HTML {
			return ready(string(figure.Markup(mapping.Draw(plan))))
		})
	}
	return m
}
