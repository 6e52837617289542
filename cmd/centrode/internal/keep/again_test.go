package keep

import "testing"

// What each build uses is there for the next one, however many have only looked it up.
func TestWhatIsUsedAgainStays(t *testing.T) {
	s, made := New(), 0
	for build := range 4 {
		Of(s, "a", func() int { made++; return 1 })
		s.Turn(true)
		if made != 1 {
			t.Fatalf("build %d made it %d times", build, made)
		}
	}
	s.Turn(true) // a build that does not ask for it
	Of(s, "a", func() int { made++; return 1 })
	if made != 2 {
		t.Errorf("made %d times, want 2: what no build asks for is forgotten", made)
	}
}
