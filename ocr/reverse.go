package ocr

import (
	"image"
	"math"
	"slices"

	"tillproof/ocr/raster"
)

// Some tills print their total in reverse: light letters on a black bar. A bar is
// looked for in cells of a quarter of a letter's height.
const (
	cellsHigh = 4 // cells in the height of a letter
	// lowBar and highBar are how many heights of a letter a bar is high, longBar
	// how many it is long at least.
	lowBar, highBar, longBar = 0.9, 4, 6
	// darkBar is the share of the paper's grey below which a cell is of a bar.
	darkBar = 0.55
	// bareRim is the share of its rims that is as dark as a bar: a line of bold print in a
	// shadow is not, however dark it is beside the paper in the light.
	bareRim = 0.75
	// fewLight and manyLight are the shares of a bar that its letters take.
	fewLight, manyLight = 0.04, 0.55
)

// turnedBars gives g with light print on dark bars turned into dark print on paper,
// where letters are height pixels high; g itself where there is no such bar.
func turnedBars(g *image.Gray, height float64) *image.Gray {
	c := max(2, int(height/cellsHigh))
	if height <= 0 || g.Rect.Dx() < 2*longBar*cellsHigh*c {
		return g
	}
	m := newCells(g, c)
	out := g
	for _, b := range m.bars() {
		if !b.hasPrint(g) {
			continue
		}
		if out == g {
			out = raster.New(g.Rect.Dx(), g.Rect.Dy())
			for y := range g.Rect.Dy() {
				copy(out.Pix[y*out.Stride:], g.Pix[y*g.Stride:y*g.Stride+g.Rect.Dx()])
			}
		}
		b.turn(g, out)
	}
	return out
}

// cells is a picture in squares: the mean of each, and how light paper is there.
type cells struct {
	size, w, h  int
	mean, paper []uint8
}

// paperCells is the side of the squares of cells whose lightest tell the paper.
const paperCells = 20

func newCells(g *image.Gray, size int) *cells {
	m := &cells{size: size, w: g.Rect.Dx() / size, h: g.Rect.Dy() / size}
	m.mean, m.paper = make([]uint8, m.w*m.h), make([]uint8, m.w*m.h)
	raster.Parallel(m.h, func(from, to int) {
		for y := from; y < to; y++ {
			for x := range m.w {
				sum, n := 0, 0
				for dy := 0; dy < size; dy += 2 {
					at := (y*size+dy)*g.Stride + x*size
					for dx := 0; dx < size; dx += 2 {
						sum += int(g.Pix[at+dx])
						n++
					}
				}
				m.mean[y*m.w+x] = uint8(sum / n)
			}
		}
	})
	bw, bh := (m.w+paperCells-1)/paperCells, (m.h+paperCells-1)/paperCells
	light := make([]uint8, bw*bh)
	for by := range bh {
		for bx := range bw {
			var all []uint8
			for y := by * paperCells; y < min(m.h, (by+1)*paperCells); y++ {
				all = append(all, m.mean[y*m.w+bx*paperCells:y*m.w+min(m.w, (bx+1)*paperCells)]...)
			}
			slices.Sort(all)
			light[by*bw+bx] = all[len(all)*9/10]
		}
	}
	for y := range m.h {
		for x := range m.w {
			bx, by := x/paperCells, y/paperCells
			// A square may lie in the bar altogether.
			for ny := max(0, by-1); ny <= min(bh-1, by+1); ny++ {
				for nx := max(0, bx-1); nx <= min(bw-1, bx+1); nx++ {
					m.paper[y*m.w+x] = max(m.paper[y*m.w+x], light[ny*bw+nx])
				}
			}
		}
	}
	return m
}

// darkCells are the cells that a bar may be made of, those between two of them in
// a row included that are no further apart than a light letter parts them.
func (m *cells) darkCells() []bool {
	dark := make([]bool, m.w*m.h)
	for y := range m.h {
		last := -cellsHigh - 2
		for x := range m.w {
			i := y*m.w + x
			if float64(m.mean[i]) >= darkBar*float64(m.paper[i]) {
				continue
			}
			for between := x - 1; x-last <= cellsHigh+1 && between > last; between-- {
				dark[y*m.w+between] = true
			}
			dark[i], last = true, x
		}
	}
	return dark
}

// bar is an area of dark cells of even height: tops and bottoms are its first
// and last row of cells in each column from x0 on.
type bar struct {
	m             *cells
	x0            int
	tops, bottoms []int
	thick         int // its usual height in cells
	paper         uint8
}

// bars are the dark areas that are as long, as high and as even as a bar.
func (m *cells) bars() []bar {
	var found []bar
	dark := m.darkCells()
	var area []int
	for start := range dark {
		if !dark[start] {
			continue
		}
		area = append(area[:0], start)
		dark[start] = false
		for i := 0; i < len(area); i++ {
			x, y := area[i]%m.w, area[i]/m.w
			for _, d := range [...][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
				nx, ny := x+d[0], y+d[1]
				if nx < 0 || ny < 0 || nx >= m.w || ny >= m.h {
					continue
				}
				if n := ny*m.w + nx; dark[n] {
					dark[n] = false
					area = append(area, n)
				}
			}
		}
		if b, ok := m.bar(area); ok {
			found = append(found, b)
		}
	}
	return found
}

// bar gives the bar that the cells of area make up.
func (m *cells) bar(area []int) (b bar, ok bool) {
	x0, x1 := m.w, -1
	for _, i := range area {
		x0, x1 = min(x0, i%m.w), max(x1, i%m.w)
	}
	n := x1 - x0 + 1
	if n < longBar*cellsHigh || x0 == 0 || x1 == m.w-1 || float64(len(area)) > float64(n)*highBar*cellsHigh {
		return b, false
	}
	b = bar{m: m, x0: x0, tops: make([]int, n), bottoms: make([]int, n)}
	for i := range b.tops {
		b.tops[i] = m.h
		b.bottoms[i] = -1
	}
	for _, i := range area {
		x, y := i%m.w-x0, i/m.w
		b.tops[x], b.bottoms[x] = min(b.tops[x], y), max(b.bottoms[x], y)
		b.paper = max(b.paper, m.paper[i])
	}
	heights := make([]int, n)
	for i := range heights {
		heights[i] = b.bottoms[i] - b.tops[i] + 1
	}
	sorted := slices.Clone(heights)
	slices.Sort(sorted)
	b.thick = sorted[n*3/4]
	if high := float64(b.thick) / cellsHigh; high < lowBar || high > highBar {
		return b, false
	}
	whole := func(i int) bool { return max(heights[i]-b.thick, b.thick-heights[i]) <= max(1, b.thick/4) }
	tops, bottoms := b.tops, b.bottoms
	b.tops, b.bottoms = smoothed(tops, whole), smoothed(bottoms, whole)
	even, within, free := 0, 0, 0
	for i := range n {
		if whole(i) {
			even++
		}
		if tops[i] >= b.tops[i]-1 && bottoms[i] <= b.bottoms[i]+1 {
			within++
		}
		if m.light(x0+i, b.tops[i]-2) || m.light(x0+i, b.bottoms[i]+2) {
			free++
		}
	}
	return b, 2*even >= n && 10*within >= 9*n && 10*free >= 9*n
}

// smoothed gives for each column what most of the whole columns near it have:
// letters that reach the edge of a bar make notches there.
func smoothed(v []int, whole func(int) bool) []int {
	out := make([]int, len(v))
	for i := range v {
		var near []int
		for reach := 2 * cellsHigh; len(near) < 3 && reach < 2*len(v); reach *= 2 {
			near = near[:0]
			for k := max(0, i-reach); k <= min(len(v)-1, i+reach); k++ {
				if whole(k) {
					near = append(near, v[k])
				}
			}
		}
		out[i] = v[i]
		if len(near) > 0 {
			slices.Sort(near)
			out[i] = near[len(near)/2]
		}
	}
	return out
}

// light reports whether the cell is bare paper.
func (m *cells) light(x, y int) bool {
	return y >= 0 && y < m.h && float64(m.mean[y*m.w+x]) > 0.75*float64(m.paper[y*m.w+x])
}

// edges are the first and one past the last row of pixels of the bar in column x
// of its picture g.
func (b bar) edges(g *image.Gray, x int) (top, bottom int) {
	c := b.m.size
	i := min(max(0, x/c-b.x0), len(b.tops)-1)
	top, bottom = b.tops[i]*c, min((b.bottoms[i]+1)*c, g.Rect.Dy())
	half := uint8(float64(b.paper) * (1 + darkBar) / 2 * 0.9)
	for y := max(0, top-c); y < top+c; y++ {
		if g.Pix[y*g.Stride+x] < half {
			top = y
			break
		}
	}
	for y := min(g.Rect.Dy(), bottom+c) - 1; y > bottom-c; y-- {
		if g.Pix[y*g.Stride+x] < half {
			bottom = y + 1
			break
		}
	}
	return top, bottom
}

// hasPrint reports whether there is light print in the bar, and no bar code, which
// has light bars from its top to its bottom all along.
func (b bar) hasPrint(g *image.Gray) bool {
	c := b.m.size
	limit, ground := uint8(float64(b.paper)*(darkBar+0.1)), uint8(float64(b.paper)*(darkBar-0.05))
	light, all, run, longest, bare, rims := 0, 0, 0, 0, 0, 0
	for x := b.x0 * c; x < (b.x0+len(b.tops))*c; x++ {
		top, bottom := b.edges(g, x)
		rim := max(2, c/2)
		here := 0
		for y := top + rim; y < bottom-rim; y++ {
			if all++; g.Pix[y*g.Stride+x] > limit {
				here++
			}
		}
		if top+rim < bottom-rim {
			rims += 2
			for _, y := range [...]int{top + rim, bottom - rim - 1} {
				if g.Pix[y*g.Stride+x] <= ground {
					bare++
				}
			}
		}
		light += here
		if run++; 10*here > bottom-top {
			run = 0
		}
		longest = max(longest, run)
	}
	return float64(bare) > bareRim*float64(rims) && float64(light) > fewLight*float64(all) && float64(light) < manyLight*float64(all) && longest > b.thick*c
}

// turn writes the bar of g into out with its greys turned round.
func (b bar) turn(g, out *image.Gray) {
	const rim = 3 // where bar and paper blur into each other there is no print
	c := b.m.size
	beyond := max(rim, c)
	left, right := b.x0*c, (b.x0+len(b.tops))*c
	paper := float64(b.paper)
	for x := max(0, left-c); x < min(right+c, g.Rect.Dx()); x++ {
		top, bottom := b.edges(g, x)
		for y := max(0, top-beyond); y < min(g.Rect.Dy(), bottom+beyond); y++ {
			v := b.paper
			if y >= top+rim && y < bottom-rim && x >= left+rim && x < right-rim {
				v = uint8(math.Max(0, paper-math.Max(0, float64(g.Pix[y*g.Stride+x])-0.3*paper)/0.7))
			}
			out.Pix[y*out.Stride+x] = v
		}
	}
}
