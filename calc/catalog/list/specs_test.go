package list

import (
	"testing"

	"centrode/tests/specs"
)

func TestMain(m *testing.M) { specs.Unwritten(m, All()) }
