package keep

import "testing"

func TestAWordThatMovesToItsNeighbourChangesTheSum(t *testing.T) {
	if SumValues("a b") == SumValues("a", "b") || SumValues([]string{"a b"}) == SumValues([]string{"a", "b"}) {
		t.Error("two lists of values have one sum")
	}
}

func TestAFileHasTheSumOfItsNameAndText(t *testing.T) {
	if SumFile("name", []byte("text")) != Sum("name", "text") || SumFile("name", []byte("text")) == SumFile("text", []byte("name")) {
		t.Error("a file has another sum than its name and its text")
	}
}
