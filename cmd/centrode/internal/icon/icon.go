// Package icon draws the mark of the handbook: an arc, an open ring (the current placement) and a filled diamond (the
// candidate) on it. One description gives the SVG of the browser's tab and the PNG of an installed app.
package icon

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"

	"golang.org/x/image/vector"

	"centrode/cmd/centrode/internal/palette"
)

// Measures on a field of 32 by 32, y down.
const (
	field     = 32.0
	pen       = 2.2
	arcCentre = 27.0 // both ways; the arc goes from the left of it to above it
	arcRadius = 23.0
	ringX     = 25.0
	ringY     = 12.0
	ringSize  = 3.6
	dash, gap = 4.0, 2.4
	gemX      = 17.0
	gemY      = 17.0
	gemSize   = 5.0
)

// SVG is the mark in the colours of the palette, by day and by night.
func SVG(p palette.Palette) []byte {
	ink, current, candidate := p["ink"], p["current"], p["candidate"]
	return fmt.Appendf(nil, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32"><style>path,circle{fill:none;stroke:%s;stroke-width:%g}.a{stroke:%s;stroke-dasharray:%g %g}.b{fill:%s;stroke:none}`+
		`@media (prefers-color-scheme:dark){path,circle{stroke:%s}.a{stroke:%s}.b{fill:%s}}</style><path d="M%g %gA%g %g 0 0 1 %g %g"/><circle class="a" cx="%g" cy="%g" r="%g"/><path class="b" d="M%g %gl%g %g-%g %g-%g-%gz"/></svg>`,
		ink.Light, pen, current.Light, dash, gap, candidate.Light, ink.Dark, current.Dark, candidate.Dark,
		arcCentre-arcRadius, arcCentre, arcRadius, arcRadius, arcCentre, arcCentre-arcRadius, ringX, ringY, ringSize, gemX, gemY-gemSize, gemSize, gemSize, gemSize, gemSize, gemSize, gemSize)
}

// PNG is the mark by day on its paper, size px wide. It keeps to the middle four fifths, which no system's mask cuts.
func PNG(p palette.Palette, size int) ([]byte, error) {
	picture := image.NewRGBA(image.Rect(0, 0, size, size))
	draw.Draw(picture, picture.Bounds(), image.NewUniform(rgba(p["paper"].Light)), image.Point{}, draw.Src)
	c := canvas{picture, 0.8 * float64(size) / field, 0.1 * float64(size)}
	c.band(arcCentre, arcCentre, arcRadius, math.Pi, 1.5*math.Pi, rgba(p["ink"].Light))
	turn := (dash + gap) / ringSize
	for from := 0.0; from < 2*math.Pi; from += turn {
		c.band(ringX, ringY, ringSize, from, min(from+dash/ringSize, 2*math.Pi), rgba(p["current"].Light))
	}
	c.fill([][2]float64{{gemX, gemY - gemSize}, {gemX + gemSize, gemY}, {gemX, gemY + gemSize}, {gemX - gemSize, gemY}}, rgba(p["candidate"].Light))
	var b bytes.Buffer
	err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, picture)
	return b.Bytes(), err
}

func rgba(c palette.Colour) color.RGBA { return color.RGBA{c.R, c.G, c.B, 255} }

// canvas maps the field onto a picture.
type canvas struct {
	picture     *image.RGBA
	scale, edge float64
}

// band is a piece of a circle's line, between two angles in radians.
func (c canvas) band(x, y, radius, from, to float64, ink color.Color) {
	const steps = 48
	var outline [][2]float64
	for i := range steps + 1 {
		sin, cos := math.Sincos(from + (to-from)*float64(i)/steps)
		outline = append(outline, [2]float64{x + (radius+pen/2)*cos, y + (radius+pen/2)*sin})
	}
	for i := range steps + 1 {
		sin, cos := math.Sincos(to + (from-to)*float64(i)/steps)
		outline = append(outline, [2]float64{x + (radius-pen/2)*cos, y + (radius-pen/2)*sin})
	}
	c.fill(outline, ink)
}

func (c canvas) fill(outline [][2]float64, ink color.Color) {
	size := c.picture.Bounds().Dx()
	r := vector.NewRasterizer(size, size)
	for i, at := range outline {
		x, y := float32(c.edge+c.scale*at[0]), float32(c.edge+c.scale*at[1])
		if i == 0 {
			r.MoveTo(x, y)
		} else {
			r.LineTo(x, y)
		}
	}
	r.ClosePath()
	r.Draw(c.picture, c.picture.Bounds(), image.NewUniform(ink), image.Point{})
}
