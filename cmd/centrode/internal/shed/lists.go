package shed

import "slices"

// clearLists takes from each function the list of calls that were put into it and of arguments to print. Lists of equal
// content stand once, whatever they are for, so one in which another begins is left.
func (t tables) clearLists(functions []function) {
	var kept []int
	for _, f := range functions {
		for i, offset := range f.lists {
			if offset != none && i != listInlined && i != listArguments {
				kept = append(kept, offset)
			}
		}
	}
	slices.Sort(kept)
	sizes := map[int]int{}
	for _, f := range functions {
		for i, size := range map[int]func(function) int{listInlined: t.inlined, listArguments: t.arguments} {
			if i < len(f.lists) && f.lists[i] != none {
				sizes[f.lists[i]] = max(sizes[f.lists[i]], size(f))
				t.m.setHalf(f.at+functionSize+4*(len(f.tables)+i), none)
			}
		}
	}
	for offset, size := range sizes {
		if i, _ := slices.BinarySearch(kept, offset); i < len(kept) && kept[i] < offset+size {
			continue
		}
		for i := range size {
			t.m.set(t.lists+offset+i, 0)
		}
	}
}

// inlined is the size of the list of calls: the table of a function says for each instruction which of them it belongs
// to, so the highest number is the last.
func (t tables) inlined(f function) int {
	if tableInlined >= len(f.tables) || f.tables[tableInlined] == 0 {
		return 0
	}
	last, value := -1, -1
	for at, first := t.steps+f.tables[tableInlined], true; ; first = false {
		change, next := number(t.m.image, at)
		if change == 0 && !first {
			return (last + 1) * inlinedSize
		}
		value += change>>1 ^ -(change & 1)
		last = max(last, value)
		_, at = number(t.m.image, next)
	}
}

// arguments is the size of the list of arguments to print, with its end.
func (t tables) arguments(f function) int {
	start := t.lists + f.lists[listArguments]
	end := start
	for t.m.byte(end) != argumentsEnd {
		end++
	}
	return end + 1 - start
}
