package page

import (
	"testing"

	"centrode/calc/catalog/list"
	"centrode/tests/specs"
)

func TestMain(m *testing.M) { specs.Unwritten(m, list.All()) }
