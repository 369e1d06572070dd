package paper

import (
	"image"
	"math"

	"tillproof/ocr/raster"
)

// What makes a dark to bright step near the side of a flat paper its edge: how many pixels of
// the small picture around it are compared, how clear it is on the way down and when it is as
// clear as any, as logarithms, and what a step aside costs, of which there is at most one in so
// many rows.
const (
	sideSpan  = 3
	sideClear = 0.12
	sideMost  = 0.3
	sideStep  = 0.1
	sideRows  = 4
	// sideLeast is the part of the way on which an edge must be in the picture.
	sideLeast = 8
)

// Sides are the left and right edge of the paper that fills g, nearly, as x at every y:
// where the paper is bent its edges are no straight lines, and beside them lies what it
// lies on. They are within reach of the sides of g, a share of its width. A side is nil where
// no edge is clear along all of it.
func Sides(g *image.Gray, reach float64) (left, right []float64) {
	shrink := float64(max(g.Rect.Dx(), g.Rect.Dy())) / longSide
	w, h := int(float64(g.Rect.Dx())/shrink), int(float64(g.Rect.Dy())/shrink)
	if w < 48 || h < 48 {
		return nil, nil
	}
	v := &view{w: w, h: h, tone: make([]float32, w*h)}
	// A strip of table beside the paper is narrow: of the print only thin strokes go.
	for i, b := range raster.Close(raster.Resize(g, w, h), 1).Pix {
		v.tone[i] = float32(math.Log(float64(b) + 12))
	}
	full := func(side []int, mirrored bool) []float64 {
		if side == nil {
			return nil
		}
		out := make([]float64, g.Rect.Dy())
		for y := range out {
			x := float64(side[min(y*h/len(out), h-1)])
			if x > 1 {
				x++ // the edge itself is dark
			}
			if mirrored {
				x = float64(w) - x
			}
			out[y] = x * float64(g.Rect.Dx()) / float64(w)
		}
		return out
	}
	return full(v.side(false, reach), false), full(v.side(true, reach), true)
}

// side is the path down v near its left side along which it turns brightest to the
// right; where v is mirrored, that at its right side. Where none does it goes along the
// side.
func (v *view) side(mirrored bool, reach float64) []int {
	n, rows := int(reach*float64(v.w)), v.h/sideRows
	sum, from, clear := make([]float64, n), make([][]int8, rows), make([][]float64, rows)
	for r := range rows {
		next, row, step := make([]float64, n), make([]int8, n), make([]float64, n)
		for x := range n {
			step[x] = v.step(x, r, mirrored)
			best := sum[x]
			for d := -1; d <= 1; d += 2 {
				if at := x + d; at >= 0 && at < n && sum[at]-sideStep > best {
					best, row[x] = sum[at]-sideStep, int8(d)
				}
			}
			next[x] = best + step[x]
		}
		next[0] += sideClear / 2
		sum, from[r], clear[r] = next, row, step
	}
	at := 0
	for x := range sum {
		if sum[x] > sum[at] {
			at = x
		}
	}
	path, total, inside := make([]int, v.h), 0.0, 0
	for y := v.h - 1; y >= 0; y-- {
		r := min(y/sideRows, rows-1)
		path[y] = at
		if y%sideRows == 0 {
			if at > 0 {
				total, inside = total+clear[r][at], inside+1
			}
			at += int(from[r][at])
		}
	}
	if total < sideClear*float64(inside) || sideLeast*inside < rows {
		return nil
	}
	return path
}

// step is how much brighter v turns at x in the rows of r.
func (v *view) step(x, r int, mirrored bool) float64 {
	a, b := max(x-sideSpan, 0), min(x+sideSpan, v.w-1)
	if mirrored {
		a, b = v.w-1-a, v.w-1-b
	}
	sum := 0.0
	for y := r * sideRows; y < (r+1)*sideRows; y++ {
		sum += float64(v.tone[y*v.w+b] - v.tone[y*v.w+a])
	}
	return min(max(sum/sideRows, 0), sideMost)
}
