package fingercurl_test

import (
	"fmt"

	"centrode/calc/catalog"
	"centrode/calc/fingercurl"
	"centrode/calc/quantity"
)

func Example() {
	answer, err := catalog.Run(fingercurl.Calculator{}, catalog.Values{Numbers: map[string]float64{
		"mcp_pivot": 0.25, "pip_pivot": 0.25, "dip_pivot": 0.25,
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, id := range []string{"pulp_gap", "depth_to_touch", "pip_squash"} {
		fmt.Println(id, quantity.Fixed(answer.Result.Numbers[id], 2))
	}
	// Output:
	// pulp_gap 0.36
	// depth_to_touch 0.11
	// pip_squash 3.62
}
