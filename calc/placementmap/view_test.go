package placementmap

import (
	"testing"

	"centrode/calc/catalog"
)

func TestTheMapIsReadWhereItIsDrawn(t *testing.T) {
	a, err := catalog.Run(Calculator{}, catalog.NewValues())
	if err != nil {
		t.Fatal(err)
	}
	if drawn, read := (Calculator{}).Figure(a.Values, a.Result).View, (Calculator{}).View(a.Values); drawn != read {
		t.Errorf("drawn over %v, read over %v", drawn, read)
	}
}
