package keep

import (
	"strconv"
	"sync"
	"testing"
)

func TestAResultIsMadeOnceAndForgottenWhenNoBuildAsksForIt(t *testing.T) {
	s := New()
	made := 0
	ask := func(key string) int { return Of(s, key, func() int { made++; return made }) }
	first := ask("a")
	if again := ask("a"); again != first || made != 1 {
		t.Errorf("asked twice in a build: %d and %d, made %d times", first, again, made)
	}
	s.Turn(true)
	if later := ask("a"); later != first || made != 1 {
		t.Errorf("asked in the next build: %d, made %d times", later, made)
	}
	s.Turn(true)
	s.Turn(true) // a build that does not ask
	if ask("a"); made != 2 {
		t.Errorf("made %d times; what a build did not ask for is forgotten", made)
	}
}

func TestNothingOfAFailedBuildIsKept(t *testing.T) {
	s := New()
	Of(s, "good", func() int { return 1 })
	s.Turn(true)
	Of(s, "bad", func() int { return 2 })
	s.Turn(false)
	if got := Of(s, "bad", func() int { return 3 }); got != 3 {
		t.Errorf("got %d, the result of the failed build", got)
	}
	if got := Of(s, "good", func() int { return 4 }); got != 1 {
		t.Errorf("got %d; a failed build must not lose what was kept before", got)
	}
}

func TestManyGoroutinesMayAsk(t *testing.T) {
	s := New()
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for i := range 500 {
				if got := Of(s, strconv.Itoa(i%50), func() int { return i % 50 }); got != i%50 {
					t.Errorf("got %d for %d", got, i%50)
				}
			}
		})
	}
	group.Wait()
	if got := Of(nil, "x", func() string { return "made" }); got != "made" {
		t.Errorf("a nil store gave %q", got)
	}
}

func TestPartsOfASumStandByThemselves(t *testing.T) {
	if Sum("ab", "c") == Sum("a", "bc") || Sum("a") != Sum("a") || Sum() == Sum("") {
		t.Error("two lists of parts have one sum")
	}
}
