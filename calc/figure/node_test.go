package figure

import (
	"bytes"
	"centrode/tests/hard/bound"
	"encoding/json"
	"encoding/xml"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
)

// fromXML reads markup back with the standard library's parser, which knows nothing of Markup.
func fromXML(t *testing.T, text []byte) Node {
	t.Helper()
	decoder := xml.NewDecoder(bytes.NewReader(text))
	stack := []Node{{}}
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return stack[0].Children[0]
		}
		if err != nil {
			t.Fatalf("%v in %.300s", err, text)
		}
		top := &stack[len(stack)-1]
		switch token := token.(type) {
		case xml.StartElement:
			n := Node{Tag: token.Name.Local}
			for _, a := range token.Attr {
				n.Attrs = append(n.Attrs, Attr{a.Name.Local, a.Value})
			}
			stack = append(stack, n)
		case xml.CharData:
			top.Text += string(token)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
			parent := &stack[len(stack)-1]
			parent.Children = append(parent.Children, *top)
		}
	}
}

// fromJSON reads the nested arrays back; attributes come out sorted by name, because JSON objects have no order.
func fromJSON(t *testing.T, text []byte) Node {
	t.Helper()
	var parts [3]json.RawMessage
	if err := json.Unmarshal(text, &parts); err != nil {
		t.Fatalf("%v in %.300s", err, text)
	}
	n := Node{}
	attrs := map[string]string{}
	var children []json.RawMessage
	for i, into := range []any{&n.Tag, &attrs, &children} {
		if err := json.Unmarshal(parts[i], into); err != nil {
			t.Fatalf("%v in %.300s", err, parts[i])
		}
	}
	for name, value := range attrs {
		n.Attrs = append(n.Attrs, Attr{name, value})
	}
	for _, child := range children {
		var words string
		if json.Unmarshal(child, &words) == nil {
			n.Text += words
			continue
		}
		n.Children = append(n.Children, fromJSON(t, child))
	}
	return n
}

func alike(a, b Node) bool {
	byName := func(x, y Attr) int { return strings.Compare(x.Name, y.Name) }
	slices.SortFunc(a.Attrs, byName)
	slices.SortFunc(b.Attrs, byName)
	return a.Tag == b.Tag && a.Text == b.Text && slices.Equal(a.Attrs, b.Attrs) && slices.EqualFunc(a.Children, b.Children, alike)
}

func TestJSONAndMarkupHoldTheSameTree(t *testing.T) {
	for name, f := range map[string]Figure{"every mark": Specimen(), "heat": HeatSpecimen(20), "nothing": {Title: "Empty"}} {
		t.Run(name, func(t *testing.T) {
			n := Layout(f, Options{ID: "p"})
			markup, tree := fromXML(t, Markup(n)), fromJSON(t, AppendJSON(nil, n))
			if !alike(markup, tree) {
				t.Errorf("Markup and JSON differ:\n%s\n%s", Markup(n), AppendJSON(nil, n))
			}
		})
	}
}

const hostile = "</svg><script>alert(\"1\")</script>&amp; '\\u0041\\ \u2028 \x00 \x1f \xff ]]> <!-- ` 𝛉 \r\n"

func TestHostileTextStaysText(t *testing.T) {
	f := Specimen()
	f.Title, f.Desc = hostile, hostile
	f.Handles[0].Name = hostile
	f.Marks = append(f.Marks, Label{Text: hostile, Role: Caution}, Polyline{Name: hostile, Points: f.Marks[0].(Region).Points})
	n := Layout(f, Options{ID: `a"><script>`})
	markup, tree := Markup(n), AppendJSON(nil, n)
	if !alike(fromXML(t, markup), fromJSON(t, tree)) {
		t.Error("hostile text reads back differently from Markup and from JSON")
	}
	for _, text := range [][]byte{markup, tree} {
		if bytes.Contains(text, []byte("<script")) || bytes.Contains(text, []byte("<!--")) {
			t.Errorf("text became markup: %s", text)
		}
	}
	if got := fromXML(t, markup).Children[0].Text; !strings.HasPrefix(got, `</svg><script>alert("1")</script>&amp; '\u0041\ `) {
		t.Errorf("title reads back as %q", got)
	}
}

func TestNumbersHaveAtMostTwoDecimalsAndNoNegativeZero(t *testing.T) {
	inf := math.Inf(1)
	for given, want := range map[float64]string{
		0: "0", -0.004: "0", 0.005: "0.01", 1: "1", 1.5: "1.5", 12.345: "12.35", -12.3: "-12.3", -0.07: "-0.07", 1e6: "1000000", inf: "0", inf - inf: "0",
	} {
		if got := number(given); got != want {
			t.Errorf("number(%v) = %q, want %q", given, got, want)
		}
	}
}

func FuzzTextReadsBackAlike(f *testing.F) {
	f.Add("pulp gap 1.45 cm")
	f.Add(hostile)
	f.Fuzz(func(t *testing.T, text string) {
		defer bound.Watch(t, len(text))()
		n := Layout(Figure{Title: text, Marks: []Mark{Label{Text: text}}, Handles: []Handle{{Name: text}}}, Options{ID: text})
		if !alike(fromXML(t, Markup(n)), fromJSON(t, AppendJSON(nil, n))) {
			t.Errorf("%q reads back differently", text)
		}
	})
}
