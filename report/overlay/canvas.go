package overlay

import (
	"image"
	"image/color"
	"image/draw"
	"strconv"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// canvas is a picture being drawn on.
type canvas struct {
	img  *image.RGBA
	unit int
	text text
}

// text is the type that is written with: words, and the numbers of marks.
type text struct {
	words, numbers font.Face
	height         int
}

// newText makes faces of size pixels.
func newText(size float64) text {
	return text{words: face(goregular.TTF, size), numbers: face(gobold.TTF, size), height: int(size * 1.35)}
}

// face makes a face of a typeface that is part of the program, so it can only
// fail where the program was built wrong.
func face(ttf []byte, size float64) font.Face {
	f, err := opentype.Parse(ttf)
	if err != nil {
		panic(err)
	}
	made, err := opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingFull})
	if err != nil {
		panic(err)
	}
	return made
}

// write writes s with its baseline beginning at p.
func (c *canvas) write(p image.Point, s string, f font.Face) {
	d := font.Drawer{Dst: c.img, Src: image.NewUniform(black), Face: f, Dot: fixed.P(p.X, p.Y)}
	d.DrawString(s)
}

// frame draws a frame inside r, with the dashes of s. A white line inside it
// keeps it apart from dark print.
func (c *canvas) frame(r image.Rectangle, s style) {
	length := 0
	on := func(step int) bool {
		if s.dash == nil {
			return true
		}
		sum := 0
		for _, d := range s.dash {
			sum += d
		}
		at := step / c.unit % sum
		for i, d := range s.dash {
			if at < d {
				return i%2 == 0
			}
			at -= d
		}
		return false
	}
	dot := func(x, y, w, h int) {
		ink := white
		if on(length) {
			ink = s.ink
		}
		draw.Draw(c.img, image.Rect(x, y, x+w, y+h), image.NewUniform(ink), image.Point{}, draw.Src)
		length++
	}
	for x := r.Min.X; x < r.Max.X; x++ {
		dot(x, r.Min.Y, 1, c.unit)
	}
	for y := r.Min.Y; y < r.Max.Y; y++ {
		dot(r.Max.X-c.unit, y, c.unit, 1)
	}
	for x := r.Max.X - 1; x >= r.Min.X; x-- {
		dot(x, r.Max.Y-c.unit, 1, c.unit)
	}
	for y := r.Max.Y - 1; y >= r.Min.Y; y-- {
		dot(r.Min.X, y, c.unit, 1)
	}
}

// hatch fills r with the hatching of s.
func (c *canvas) hatch(r image.Rectangle, s style) {
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if s.hatch((x-r.Min.X)/c.unit, (y-r.Min.Y)/c.unit) {
				c.img.SetRGBA(x, y, s.ink)
			}
		}
	}
}

// badge writes a mark's number in a ring around p.
func (c *canvas) badge(p image.Point, number string) {
	radius := 6 * c.unit
	for y := -radius; y <= radius; y++ {
		for x := -radius; x <= radius; x++ {
			ink := color.RGBA{}
			switch d := x*x + y*y; {
			case d > radius*radius:
				continue
			case d > (radius-c.unit)*(radius-c.unit):
				ink = black
			default:
				ink = white
			}
			c.img.SetRGBA(p.X+x, p.Y+y, ink)
		}
	}
	w := font.MeasureString(c.text.numbers, number).Round()
	c.write(image.Pt(p.X-w/2, p.Y+c.text.height/4), number, c.text.numbers)
}

// legendRow is one mark's text in lines.
type legendRow struct {
	mark  *Mark
	lines []string
}

// legendRows are a legend laid out for its width.
type legendRows struct {
	rows   []legendRow
	height int
	width  int
}

// indent is how far the legend's text stands from the edge.
func (c *canvas) indent() int { return 44 * c.unit }

// legend lays the texts of marks out in lines.
func (c *canvas) legend(marks []Mark, foot string, width int) legendRows {
	l := legendRows{width: width, height: c.text.height}
	for i := range marks {
		l.rows = append(l.rows, legendRow{&marks[i], c.wrap(marks[i].Text, width-c.indent()-4*c.unit)})
	}
	if foot != "" {
		l.rows = append(l.rows, legendRow{nil, c.wrap(foot, width-8*c.unit)})
	}
	for _, r := range l.rows {
		l.height += c.rowHeight(r)
	}
	return l
}

func (c *canvas) rowHeight(r legendRow) int {
	return max(len(r.lines)*c.text.height, 14*c.unit) + c.text.height/2
}

// drawLegend draws the legend below a rule at y: for each mark its number, a
// piece of its frame and hatching, and its text.
func (c *canvas) drawLegend(l legendRows, y int) {
	draw.Draw(c.img, image.Rect(0, y, l.width, y+c.unit), image.NewUniform(black), image.Point{}, draw.Src)
	y += c.text.height / 2
	number := 0
	for _, r := range l.rows {
		x := 4 * c.unit
		if r.mark != nil {
			number++
			mid := y + 7*c.unit
			c.badge(image.Pt(8*c.unit, mid), strconv.Itoa(number))
			swatch := image.Rect(17*c.unit, mid-6*c.unit, 41*c.unit, mid+6*c.unit)
			s := styleOf(*r.mark)
			c.hatch(image.Rect(swatch.Min.X+2*c.unit, swatch.Min.Y+2*c.unit, swatch.Min.X+10*c.unit, swatch.Max.Y-2*c.unit), s)
			c.frame(swatch, s)
			x = c.indent()
		}
		for i, line := range r.lines {
			c.write(image.Pt(x, y+c.text.height*(i+1)-c.text.height/4), line, c.text.words)
		}
		y += c.rowHeight(r)
	}
}

// wrap breaks s at spaces into lines that are at most width pixels wide.
func (c *canvas) wrap(s string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && font.MeasureString(c.text.words, longer).Ceil() > width {
			lines, longer = append(lines, line), word
		}
		line = longer
	}
	return append(lines, line)
}
