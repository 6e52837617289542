package sheet

import (
	"slices"
	"strconv"
	"strings"

	"centrode/calc/catalog"
	"centrode/calc/plate"
)

// Compare marks what two sheets see differently: facts, reasons and rows in which they differ, placements that only
// one of them has, and inputs that no row shows: two results of two questions say nothing of which placement is better. Placements belong together when they have the same joint and calculator, whatever the case of the
// letters; what is left is paired by the calculator alone.
func Compare(a, b *View) {
	for i := range a.Facts {
		differs := a.Facts[i].Text != b.Facts[i].Text
		a.Facts[i].Differs, b.Facts[i].Differs = differs, differs
	}
	partner := partners(a.Sheet.Entries, b.Sheet.Entries)
	met := make([]bool, len(b.Entries))
	for i := range a.Entries {
		j := partner[i]
		if j < 0 {
			a.Entries[i].Alone = true
			continue
		}
		met[j] = true
		a.Entries[i].Otherwise, b.Entries[j].Otherwise = otherwise(a.Entries[i], b.Entries[j]), otherwise(b.Entries[j], a.Entries[i])
		mark(a.Entries[i].Rows, b.Entries[j].all)
		mark(b.Entries[j].Rows, a.Entries[i].all)
		if one, two := a.Sheet.Entries[i].Measured, b.Sheet.Entries[j].Measured; a.Entries[i].Measured && one.comparable(two) {
			a.Entries[i].Figure, b.Entries[j].Figure = one.figure(&two), two.figure(&one)
		}
	}
	for j := range b.Entries {
		b.Entries[j].Alone = !met[j]
	}
}

// partners finds for each entry of a the place of the one of b that is about the same, or −1.
func partners(a, b []Entry) []int {
	list := make([]int, len(a))
	taken := make([]bool, len(b))
	for i := range list {
		list[i] = -1
	}
	for _, sameJoint := range []bool{true, false} {
		for i := range a {
			for j := range b {
				if list[i] < 0 && !taken[j] && a[i].Calculator == b[j].Calculator && (!sameJoint || strings.EqualFold(a[i].Joint, b[j].Joint)) {
					list[i], taken[j] = j, true
				}
			}
		}
	}
	return list
}

// mark marks the rows that the other table has otherwise, or not at all.
func mark(rows, other []Row) {
	for i := range rows {
		r := &rows[i]
		r.Differs = true
		for _, o := range other {
			if o.Key == r.Key && o.Placement == r.Placement {
				r.Differs = o.Current != r.Current || o.Candidate != r.Candidate || o.Difference != r.Difference
			}
		}
	}
}

// otherwise names what an entry is asked that its partner is asked otherwise and that no row of either shows, in one sentence; "" when
// there is nothing.
func otherwise(one, other EntryView) string {
	const most = 4
	var list []string
	for _, f := range one.live.Spec.Fields {
		shown := func(r Row) bool { return r.Placement && r.Key == f.ID }
		own, theirs := plate.Slot(one.live, f.ID), plate.Slot(other.live, f.ID)
		if own != theirs && !slices.ContainsFunc(one.Rows, shown) && !slices.ContainsFunc(other.Rows, shown) {
			list = append(list, f.Label+" "+unit(f, own)+" (there "+unit(f, theirs)+")")
		}
	}
	own, theirs := tables(one.live), tables(other.live)
	for _, t := range one.live.Spec.Tables {
		if own[t.ID] != theirs[t.ID] {
			list = append(list, "other rows of "+t.Label)
		}
	}
	if over := len(list) - most; over > 0 {
		list = append(list[:most], strconv.Itoa(over)+" more")
	}
	if len(list) == 0 {
		return ""
	}
	return "Asked otherwise than on the other sheet: " + strings.Join(list, ", ") + "."
}

// tables are the tables of an answer as text; those that stand at their defaults are left out.
func tables(a catalog.Answer) map[string]string {
	list := map[string]string{}
	for _, e := range catalog.State(a.Spec, a.Values) {
		if _, ok := a.Spec.Table(e.ID); ok {
			list[e.ID] = e.Text
		}
	}
	return list
}
