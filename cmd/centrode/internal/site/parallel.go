package site

import (
	"cmp"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"
)

// parallel applies work to every item on all cores and returns the results in the items' order.
func parallel[In, Out any](items []In, work func(In) (Out, error)) ([]Out, error) {
	results := make([]Out, len(items))
	var group errgroup.Group
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, item := range items {
		group.Go(func() (err error) {
			results[i], err = work(item)
			return err
		})
	}
	return results, group.Wait()
}

// sortBySize orders items from the largest to the smallest.
func sortBySize[T any](items []T, size func(T) int) {
	slices.SortStableFunc(items, func(a, b T) int { return cmp.Compare(size(b), size(a)) })
}
