// Command quiet does what needs the types, and nothing that reflects: it asks what an interface holds, finds methods by
// name, tells keys of a map apart by their type, and ends in a failed assertion.
package main

type length struct{ cm float64 }

func (l *length) Inches() float64 { return l.cm / 2.54 }

type inch interface{ Inches() float64 }

type stone struct{ kg float64 }

//go:noinline
func kind(x any) string {
	switch x := x.(type) {
	case *length:
		return "length"
	case []stone:
		return "stones"
	case map[string]*stone:
		return "store"
	case func(*stone) int:
		return "measure"
	case inch:
		return "in inches"
	case interface{ Pounds() float64 }:
		return "in pounds"
	default:
		_ = x
		return "other"
	}
}

func main() {
	seen := map[any]int{}
	for i, x := range []any{&length{2.54}, []stone{}, map[string]*stone{}, func(*stone) int { return 0 }, wide{}, 7, stone{1}} {
		print(kind(x), " ")
		switch x.(type) {
		case *length, int, stone:
			seen[x] = i
		}
	}
	println(len(seen), seen[7], seen[stone{1}])
	println(any([]*length{}).([]*stone) == nil)
}

type wide struct{}

func (wide) Inches() float64 { return 1 }
