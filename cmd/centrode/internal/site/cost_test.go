package site

import (
	"path/filepath"
	"runtime"
	"testing"

	"centrode/tests/generated"
)

// What a lesson more costs is told by what it allocates: no busy machine changes that. A step that does for each page what one page
// needs once, or for each page what all of them need, shows here; the time itself is measured in tests/hard/build.
func TestALessonMoreIsMadeOfLittle(t *testing.T) {
	const few, many = 20, 60
	made := func(n int) (bytes, objects uint64) {
		t.Helper()
		root := filepath.Join(t.TempDir(), "book")
		if err := generated.Write(filepath.Join("..", "..", "..", ".."), root, n); err != nil {
			t.Fatal(err)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if _, _, err := Check(Options{Root: root}); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		return after.TotalAlloc - before.TotalAlloc, after.Mallocs - before.Mallocs
	}
	made(1) // what is made once for all books
	bytes, objects := made(few)
	moreBytes, moreObjects := made(many)
	kilobytes, each := (moreBytes-bytes)/(many-few)>>10, (moreObjects-objects)/(many-few)
	t.Logf("a lesson more allocates %d KiB in %d objects", kilobytes, each)
	if kilobytes > mostKilobytes || each > mostObjects {
		t.Errorf("a lesson more allocates %d KiB in %d objects, want at most %d and %d", kilobytes, each, mostKilobytes, mostObjects)
	}
}

// Measured, and a fifth above it.
const (
	mostKilobytes = 4400
	mostObjects   = 58000
)
