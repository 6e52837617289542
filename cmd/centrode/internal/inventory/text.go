package inventory

import (
	"fmt"
	"strings"
	"text/tabwriter"

	"centrode/calc/quantity"
	"centrode/cmd/centrode/internal/report"
)

// Text is the inventory for people.
func (l Inventory) Text() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, %s, %s, %s; lengths in cm, at rest, in the frame of the scene\n", report.Harmless(l.File),
		quantity.Things(len(l.Nodes), "node", "nodes"), quantity.Things(len(l.Meshes), "mesh", "meshes"), quantity.Things(len(l.Skins), "skin", "skins"), quantity.Things(len(l.Animations), "animation", "animations"))
	if l.Invented {
		b.WriteString("The file says of itself that its measurements are invented.\n")
	}
	l.nodes(&b)
	l.meshes(&b)
	l.skins(&b)
	l.animations(&b)
	if len(l.Notes) > 0 {
		b.WriteString("\nodd, but usable\n")
	}
	for _, n := range l.Notes {
		fmt.Fprintf(&b, "  %s: %s\n", n.Path, report.Harmless(n.Text)) // which may quote the file
	}
	return []byte(b.String())
}

// table writes rows under a heading; nothing without rows.
func table(b *strings.Builder, title string, heads []string, rows [][]string) {
	if len(rows) == 0 {
		return
	}
	fmt.Fprintf(b, "\n%s\n", title)
	var lines strings.Builder
	w := tabwriter.NewWriter(&lines, 0, 0, 2, ' ', 0)
	for _, cells := range append([][]string{heads}, rows...) {
		for i, cell := range cells {
			cells[i] = plain(cell)
		}
		fmt.Fprintf(w, "  %s\n", strings.Join(cells, "\t"))
	}
	w.Flush()
	for line := range strings.Lines(lines.String()) {
		fmt.Fprintln(b, strings.TrimRight(line, " \n")) // cells that are empty leave blanks behind
	}
}

// plain keeps what somebody else wrote from moving the cursor of a terminal.
func plain(text string) string {
	text = report.Harmless(text)
	if letters := []rune(text); len(letters) > 40 {
		return string(letters[:39]) + "…"
	}
	return text
}

func (l Inventory) nodes(b *strings.Builder) {
	var rows [][]string
	for _, n := range l.Nodes {
		parent, length := "none", "none"
		if n.Parent >= 0 {
			parent, length = fmt.Sprint(n.Parent), quantity.Fixed(*n.FromParent, 2)
		}
		var is []string
		if n.Joint {
			is = append(is, "joint")
		}
		if n.Mesh >= 0 {
			is = append(is, fmt.Sprint("carries mesh ", n.Mesh))
		}
		if n.Skin >= 0 {
			is = append(is, fmt.Sprint("bound by skin ", n.Skin))
		}
		rows = append(rows, []string{fmt.Sprint(n.Index), n.Name, parent, length,
			quantity.Fixed(n.Position[0], 2), quantity.Fixed(n.Position[1], 2), quantity.Fixed(n.Position[2], 2), strings.Join(is, ", ")})
	}
	table(b, "nodes", []string{"node", "name", "parent", "from parent", "x", "y", "z", "is"}, rows)
}

func (l Inventory) meshes(b *strings.Builder) {
	var rows, targets [][]string
	for _, m := range l.Meshes {
		rows = append(rows, []string{fmt.Sprint(m.Index), m.Name, fmt.Sprint(m.Vertices), fmt.Sprint(m.Triangles), fmt.Sprint(m.Influences), quantity.Fixed(m.Size, 2)})
		for i, t := range m.Targets {
			targets = append(targets, []string{fmt.Sprint(m.Index), fmt.Sprint(i), t.Name, quantity.Fixed(t.Moves, 2)})
		}
	}
	table(b, "meshes", []string{"mesh", "name", "vertices", "triangles", "joints a vertex", "diagonal"}, rows)
	table(b, "morph targets", []string{"mesh", "target", "name", "largest move"}, targets)
}

func (l Inventory) skins(b *strings.Builder) {
	var rows [][]string
	for _, s := range l.Skins {
		binds := "in the file"
		if !s.InverseBinds {
			binds = "none, taken as identity"
		}
		rows = append(rows, []string{fmt.Sprint(s.Index), s.Name, fmt.Sprint(len(s.Joints)), binds})
	}
	table(b, "skins", []string{"skin", "name", "joints", "inverse bind matrices"}, rows)
}

func (l Inventory) animations(b *strings.Builder) {
	var rows [][]string
	for _, a := range l.Animations {
		for _, t := range a.Tracks {
			node := "none"
			if t.Node >= 0 {
				node = fmt.Sprintf("%d %s", t.Node, l.Nodes[t.Node].Name)
			}
			rows = append(rows, []string{fmt.Sprint(a.Index), a.Name, quantity.Fixed(a.Seconds, 2), node, t.Path, fmt.Sprint(t.Keys), strings.ToLower(t.Interpolation)})
		}
	}
	table(b, "animations", []string{"animation", "name", "seconds", "node", "path", "keys", "between keys"}, rows)
}
