package body

import "centrode/calc/quantity"

// Between these, in cm, lies whatever can be a character or a crane: a file in another unit than the metre falls outside.
const tiny, huge = 2, 1500

// Doubt tells of a surface that is so large or so small that the file may hold another unit than it should; "" for others.
func (b *Body) Doubt() string {
	if b.bare {
		return ""
	}
	least, greatest := b.Box()
	size := greatest.Sub(least).Len()
	switch {
	case size >= huge:
		return "The surface measures " + quantity.Number(size/100, 1) + " m from corner to corner. This format counts in metres: if the file was saved in centimetres, every length here is a hundred times too large, and it should be saved in metres."
	case size > 0 && size <= tiny:
		return "The surface measures " + quantity.Number(size, 2) + " cm from corner to corner. This format counts in metres: if the character is larger than that, every length here is too small, and it should be saved in metres."
	}
	return ""
}
