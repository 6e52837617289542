package book

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"centrode/calc/quantity"
)

// Convert prints a published value with its unit, in another unit of the same kind when one is named. Without digits
// (-1) as many decimals are printed as make the last place as fine as the published one; a value that is no plain
// number ("0 to 12") is printed as published and takes neither.
func (f Fact) Convert(digits int, unit string) (string, error) {
	if f.Value == "" {
		return "", fmt.Errorf("fact %s has no value; it is a statement: %s", clip(f.ID), clip(f.Quantity))
	}
	if noNumber(f.Value) {
		return "", fmt.Errorf("fact %s is %s, which is no number", clip(f.ID), clip(f.Value))
	}
	plain := digits < 0 && unit == ""
	value, err := strconv.ParseFloat(f.Value, 64)
	if plain || err != nil {
		if !plain {
			return "", fmt.Errorf("fact %s is %s, which is no single number; it takes neither decimals nor a unit", clip(f.ID), clip(f.Value))
		}
		return several(inWords(f.Value), f.Unit), nil
	}
	_, decimals, _ := strings.Cut(f.Value, ".")
	places := len(decimals)
	if unit != "" && unit != f.Unit {
		factor, err := between(f.Unit, unit)
		if err != nil {
			return "", err
		}
		value *= factor
		places -= int(math.Floor(math.Log10(factor) + 1e-9))
	} else {
		unit = f.Unit
	}
	if digits >= 0 {
		places = digits
	}
	return quantity.Number(value, max(places, 0)) + Spaced(unit), nil
}

// noNumber reports whether a word of the text is what programs write where a number is missing, or has none above it: NaN, Inf,
// Infinity.
func noNumber(text string) bool {
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) })
	return slices.ContainsFunc(words, func(word string) bool {
		_, err := strconv.ParseFloat(word, 64)
		return err == nil
	})
}

// between returns how many of the second unit one of the first is.
func between(from, to string) (float64, error) {
	for _, kind := range []quantity.Kind{quantity.Length, quantity.Angle, quantity.Area, quantity.Ratio} {
		a, err := quantity.Parse("1"+from, kind)
		b, wrong := quantity.Parse("1"+to, kind)
		if err == nil && wrong == nil {
			return a / b, nil
		}
	}
	return 0, fmt.Errorf("%s is no unit that %s can be told in", clip(to), clip(from))
}

// inWords sets a published text as a sentence has it: a minus as a minus, and ">=140" as "at least 140".
func inWords(value string) string {
	return strings.NewReplacer("-", "−", ">= ", "at least ", ">=", "at least ", "<= ", "at most ", "<=", "at most ",
		"> ", "more than ", ">", "more than ", "< ", "less than ", "<", "less than ").Replace(value)
}

// several prints a value of more than one number: two measured side by side ("14.7 / 20.7") as "14.7 and 20.7", and
// those of units of their own ("0.22; 65.2" in "ratio; cm") each with its unit.
func several(value, unit string) string {
	values, units := strings.Split(value, "; "), strings.Split(unit, "; ")
	if len(values) > 1 && len(values) == len(units) {
		for i, u := range units {
			values[i] += Spaced(u)
		}
		return strings.Join(values, "; ")
	}
	beside := strings.Split(value, " / ")
	if last := len(beside) - 1; last > 0 {
		value = strings.Join(beside[:last], ", ") + " and " + beside[last]
	}
	return value + Spaced(unit)
}

// Spaced is a unit as it stands after a number on a page: with a no-break space before it, or a degree sign without.
// A part of something is told by what it is a part of: "0.186 of stature".
func Spaced(unit string) string {
	if whole, ok := strings.CutPrefix(unit, "fraction of "); ok {
		return "\u00a0of " + whole
	}
	switch unit {
	case "", "ratio", "factor", "deg per deg", "rotation order (first to third)":
		return ""
	case "deg", "°":
		return "°"
	case "x circumradius":
		return "\u00a0times the circumradius"
	case "mm error": // that it is one stands in the sentence
		unit = "mm"
	case "cm2", "mm2", "m2", "in2":
		unit = strings.TrimSuffix(unit, "2") + "²"
	}
	return "\u00a0" + unit
}
