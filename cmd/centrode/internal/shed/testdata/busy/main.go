// Command busy does what needs the runtime's tables: it grows stacks that hold pointers, collects garbage under them,
// recovers from every kind of panic, runs goroutines, and ends in a panic that nothing recovers.
package main

import (
	"fmt"
	"runtime"
	"strings"
)

type point struct{ x, y *int }

// sum is called and not copied into its wrapper, which takes its own name apart when there is no point.
//
//go:noinline
func (p point) sum() int { return *p.x + *p.y }

type summed interface{ sum() int }

// total is not copied either, or the compiler would see what the interface holds.
//
//go:noinline
func total(s summed) int { return s.sum() }

func deep(n int, p point, s string) int {
	if n == 0 {
		runtime.GC()
		return len(s)
	}
	x, y := n, *p.x
	return deep(n-1, point{&x, &y}, s+"!")%1000 + (point{&x, p.y}).sum()%7
}

func refused(what string, f func()) {
	defer func() { fmt.Println(what, "→", recover()) }()
	f()
}

func main() {
	one, two := 1, 2
	answers := make(chan int)
	for i := range 20 {
		go func() { answers <- deep(500+10*i, point{&one, &two}, strings.Repeat("x", i)) }()
	}
	sum := 0
	for range 20 {
		sum += <-answers
	}
	fmt.Println(sum)
	var none *point
	var list []int
	var nothing any = "text"
	refused("index", func() { fmt.Println(list[sum]) })
	refused("slice", func() { fmt.Println(list[sum : sum-1]) })
	refused("wrapper", func() { fmt.Println(total(none)) })
	refused("pointer", func() { fmt.Println(none.x) })
	refused("type", func() { fmt.Println(nothing.(int)) })
	refused("division", func() { fmt.Println(sum / len(list)) })
	refused("nested", func() { defer func() { panic(recover()) }(); panic("again") })
	refused("deferred", func() {
		for i := range 3 {
			defer fmt.Println("deferred", i)
		}
		panic("last")
	})
	panic("the end")
}
