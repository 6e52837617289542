package sheet

import "strings"

// Compare marks what two sheets see differently: facts, reasons and rows in which they differ, and placements that only
// one of them has. Placements belong together when they have the same joint and calculator, whatever the case of the
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
		mark(a.Entries[i].Rows, b.Entries[j].all)
		mark(b.Entries[j].Rows, a.Entries[i].all)
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
