package maths

import (
	"fmt"
	"regexp"
	"strings"
)

// The converter writes some layout as style attributes. Here is all of it that the handbook allows, as classes:
//
//	math-depth-0            an accent keeps its size
//	cell-start-0, cell-end-0   no padding before, after a matrix cell
//	cell-start-half, …         half an em (the converter's 5.9776pt)
//	cell-start-1, cell-start-2 one, two em
//	boxed                   a frame around a part
var (
	openTag   = regexp.MustCompile(`<[a-z]+(?: [^<>]*)?>`)
	styleAttr = regexp.MustCompile(` style="([^"]*)"`)
	classAttr = regexp.MustCompile(` class="([^"]*)"`)
)

// padding maps the converter's paddings of table cells to the last part of a class name.
var padding = map[string]string{"0em": "0", "0": "0", "5.9776pt": "half", "1em": "1", "2em": "2"}

// known maps other declarations to a class; "" means that nothing is lost by leaving it out.
var known = map[string]string{
	"display:block math": "", // the rule for .tml-display says it
	"math-depth:0":       "math-depth-0",
	"padding:3pt":        "boxed",
	"border:1px solid":   "",
}

// noise is what the converter writes in the cells after a filled one of an uneven row: names without values.
var noise = regexp.MustCompile(`^(level|font|font-family|font-size|font-weight|font-shape|max-size):|^color:undefined$`)

// restyle turns every style attribute into classes.
func restyle(markup string) (string, error) {
	var refused error
	out := openTag.ReplaceAllStringFunc(markup, func(tag string) string {
		style := styleAttr.FindStringSubmatch(tag)
		if style == nil {
			return tag
		}
		classes, err := classesOf(style[1])
		if err != nil && refused == nil {
			refused = err
		}
		return withClasses(styleAttr.ReplaceAllString(tag, ""), classes)
	})
	return out, refused
}

func classesOf(style string) ([]string, error) {
	var classes []string
	for declaration := range strings.SplitSeq(style, ";") {
		declaration = strings.TrimSpace(declaration)
		if declaration == "" || noise.MatchString(declaration) {
			continue
		}
		class, ok := classOf(declaration)
		if !ok {
			return nil, fmt.Errorf("sets %q; colours and other looks are given by the style sheet, not by a formula", declaration)
		}
		if class != "" {
			classes = append(classes, class)
		}
	}
	return classes, nil
}

func classOf(declaration string) (string, bool) {
	if class, ok := known[declaration]; ok {
		return class, true
	}
	name, value, _ := strings.Cut(declaration, ":")
	side := map[string]string{"padding-left": "cell-start-", "padding-right": "cell-end-"}[name]
	size, ok := padding[value]
	if side == "" || !ok {
		return "", false
	}
	return side + size, true
}

func withClasses(tag string, classes []string) string {
	if len(classes) == 0 {
		return tag
	}
	more := strings.Join(classes, " ")
	if present := classAttr.FindStringSubmatch(tag); present != nil {
		return classAttr.ReplaceAllLiteralString(tag, ` class="`+present[1]+" "+more+`"`)
	}
	end := strings.IndexAny(tag, " >")
	return tag[:end] + ` class="` + more + `"` + tag[end:]
}
