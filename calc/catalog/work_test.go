package catalog

import (
	"math"
	"testing"
)

func TestWorkInOnePartIsARun(t *testing.T) {
	good := NewResult()
	good.Numbers["gap"] = 2
	w, err := Begin(sampleCalculator{good}, NewValues())
	if err != nil || w.Total() != 1 || w.Done() != 0 || w.Prepared().Numbers["mcp_depth"] != 1.8 {
		t.Fatalf("begun as %+v, %v", w, err)
	}
	w.Next()
	w.Next()
	if a, err := w.Answer(); err != nil || w.Done() != 1 || a.Result.Numbers["gap"] != 2 || a.Spec.ID != "sample" {
		t.Errorf("after %d parts: %+v, %v", w.Done(), a.Result, err)
	}
	bad := NewResult()
	bad.Numbers["gap"] = math.NaN()
	if w, err = Begin(sampleCalculator{bad}, NewValues()); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Answer(); err == nil || err.(*InputError).Field != "gap" {
		t.Errorf("an undefined output leaves the work: %v", err)
	}
	outside := NewValues()
	outside.Numbers["mcp_depth"] = -1
	if _, err := Begin(sampleCalculator{good}, outside); err == nil || err.(*InputError).Field != "mcp_depth" {
		t.Errorf("values out of range are begun: %v", err)
	}
}
