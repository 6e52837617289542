package published

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
)

// The check of the checks: an expectation that is wrong by ten tolerances must be noticed.
func TestAWrongExpectationFails(t *testing.T) {
	for _, c := range allChecks(t) {
		got, err := c.compute()
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		for _, shift := range []float64{10 * c.tol, -10 * c.tol} {
			wrong := c
			wrong.want += shift
			if wrong.accepts(got) {
				t.Errorf("%s: an expectation off by %v is accepted", c.name, shift)
			}
		}
	}
}

func TestEveryCheckNamesItsWitness(t *testing.T) {
	text, err := os.ReadFile("../../content/sources.json")
	if err != nil {
		t.Fatal(err)
	}
	var sources []struct {
		ID string `json:"id"`
	}
	if err := json.Unmarshal(text, &sources); err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{"derived": true} // an identity, which needs no witness but its own derivation
	for _, s := range sources {
		known[s.ID] = true
	}
	names := map[string]bool{}
	for _, c := range allChecks(t) {
		if !known[c.source] {
			t.Errorf("%s: source %q is not in content/sources.json", c.name, c.source)
		}
		if c.status != "seen" && c.status != "derived" {
			t.Errorf("%s: status %q; only seen and derived are tested against", c.name, c.status)
		}
		if !(c.tol > 0) || c.reason == "" {
			t.Errorf("%s: tolerance %v, reason %q", c.name, c.tol, c.reason)
		}
		if names[c.name] {
			t.Errorf("%s: stands twice", c.name)
		}
		names[c.name] = true
	}
}

// The facts here are copies, so that a check and its number stand together; the handbook's own table must agree, and
// its rows recalled from memory must not get in.
func TestFactsAreThoseOfTheHandbook(t *testing.T) {
	facts, book := loadFacts(t, "values.csv"), loadFacts(t, "../../content/facts.csv")
	if len(facts) < 40 {
		t.Errorf("values.csv has %d facts, want at least 40", len(facts))
	}
	for id, f := range facts {
		if book[id] != f {
			t.Errorf("%s: here %+v, in content/facts.csv %+v", id, f, book[id])
		}
		if f.status == "memory" {
			t.Errorf("%s is recalled from memory", id)
		}
	}
	for _, p := range loadCases(t) {
		if p.Status != "seen" && p.Status != "derived" || p.ToleranceReason == "" {
			t.Errorf("%s: status %q, tolerance reason %q", p.ID, p.Status, p.ToleranceReason)
		}
	}
}

// Every fact of the file is either an expectation or an input of one.
func TestEveryFactIsUsed(t *testing.T) {
	used := map[string]bool{}
	for _, c := range allChecks(t) {
		used[strings.SplitN(c.name, "/", 2)[0]] = true
	}
	for _, id := range inputFacts {
		used[id] = true
	}
	for id := range loadFacts(t, "values.csv") {
		if !used[id] {
			t.Errorf("%s is in values.csv but in no check", id)
		}
	}
}
