// Package overlay draws the findings of a check on the picture of the receipt.
//
// Draw is the function to read first: sheets of paper, marks on their lines and
// a legend below become one picture. It can be read without colour: every mark
// has its number, and every kind of finding its own pair of dashes and hatching.
// The package does no I/O.
package overlay

import (
	"image"
	"image/color"
	"image/draw"
	"strconv"

	"tillproof/audit"

	xdraw "golang.org/x/image/draw"
)

// Sheet is the picture of a receipt, or of a part of it, and where its lines
// stand in it, by the receipt's own numbers.
type Sheet struct {
	Image image.Image
	Lines map[int]image.Rectangle
}

// Mark is one finding as it is drawn. Its number is its place in the list,
// counted from 1.
type Mark struct {
	Kind  audit.Kind
	Lines []int
	// Loss is true for money lost; it only chooses the colour.
	Loss bool
	// Text is what the legend says.
	Text string
}

// Frame is a mark's frame around a line in the finished picture.
type Frame struct {
	Mark, Line int
	Rect       image.Rectangle
}

// Drawing is a finished picture.
type Drawing struct {
	Image  *image.RGBA
	Frames []Frame
	// Paper is the part of the picture that shows the sheets.
	Paper image.Rectangle
}

// sheetWidth is how wide paper is drawn at most and at least: larger pictures
// are shrunk, since all that is wanted is to read them.
const (
	mostWidth  = 1200
	leastWidth = 640
)

var (
	white = color.RGBA{255, 255, 255, 255}
	black = color.RGBA{0, 0, 0, 255}
	red   = color.RGBA{168, 0, 28, 255}
	blue  = color.RGBA{0, 58, 150, 255}
)

// Draw draws the sheets below each other, a frame around each marked line, and
// a legend of the marks under them with the closing text foot.
func Draw(sheets []Sheet, marks []Mark, foot string) *Drawing {
	width := leastWidth
	for _, s := range sheets {
		width = max(width, min(s.Image.Bounds().Dx(), mostWidth))
	}
	unit := max(2, width/280) // the thickness of a frame
	most := crowd(marks)
	left := unit * (4 + 24*most) // room for the numbers beside the paper
	c := &canvas{unit: unit, text: newText(float64(width) / 42)}
	heights := make([]int, len(sheets))
	paper := 0
	for i, s := range sheets {
		b := s.Image.Bounds()
		heights[i] = b.Dy() * width / max(1, b.Dx())
		paper += heights[i]
	}
	seam := 3 * unit * max(0, len(sheets)-1)
	total := left + width
	rows := c.legend(marks, foot, total)
	c.img = image.NewRGBA(image.Rect(0, 0, total, paper+seam+rows.height))
	draw.Draw(c.img, c.img.Rect, image.NewUniform(white), image.Point{}, draw.Src)

	d := &Drawing{Image: c.img, Paper: image.Rect(left, 0, total, paper+seam)}
	taken := map[int]int{} // how many marks a line has already
	y := 0
	for i, s := range sheets {
		at := image.Rect(left, y, total, y+heights[i])
		xdraw.ApproxBiLinear.Scale(c.img, at, s.Image, s.Image.Bounds(), draw.Src, nil)
		c.marks(d, s, at, marks, taken)
		if y = at.Max.Y; i < len(sheets)-1 {
			draw.Draw(c.img, image.Rect(0, y, total, y+3*unit), image.NewUniform(black), image.Point{}, draw.Src)
			y += 3 * unit
		}
	}
	c.drawLegend(rows, y)
	return d
}

// crowd is the largest number of marks on one line.
func crowd(marks []Mark) int {
	most, on := 1, map[int]int{}
	for _, m := range marks {
		for _, l := range m.Lines {
			on[l]++
			most = max(most, on[l])
		}
	}
	return most
}

// marks draws the marks whose lines are on sheet s, which is drawn at at.
func (c *canvas) marks(d *Drawing, s Sheet, at image.Rectangle, marks []Mark, taken map[int]int) {
	b := s.Image.Bounds()
	for i, m := range marks {
		for _, line := range m.Lines {
			box, here := s.Lines[line]
			if !here || box.Empty() {
				continue
			}
			r := image.Rect(
				at.Min.X+(box.Min.X-b.Min.X)*at.Dx()/b.Dx(), at.Min.Y+(box.Min.Y-b.Min.Y)*at.Dy()/b.Dy(),
				at.Min.X+(box.Max.X-b.Min.X)*at.Dx()/b.Dx(), at.Min.Y+(box.Max.Y-b.Min.Y)*at.Dy()/b.Dy())
			n := taken[line]
			taken[line]++
			// A second mark's frame stands around the first one's.
			r = r.Inset(-c.unit * (3 + 2*n)).Intersect(at.Inset(c.unit))
			if r.Empty() {
				continue
			}
			style := styleOf(m)
			c.frame(r, style)
			inset := r.Dy() / 4 // so that the bands of lines that follow each other stay apart
			band := image.Rect(at.Min.X-c.unit*(11+24*n), r.Min.Y+inset, at.Min.X-c.unit*(1+24*n), r.Max.Y-inset)
			c.hatch(band, style)
			c.badge(image.Pt(band.Min.X-c.unit*7, (r.Min.Y+r.Max.Y)/2), strconv.Itoa(i+1))
			d.Frames = append(d.Frames, Frame{Mark: i + 1, Line: line, Rect: r})
		}
	}
}
