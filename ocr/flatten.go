package ocr

import (
	"fmt"
	"image"
	"math"

	"tillproof/ocr/raster"
)

// Flat is the paper of a photo, seen from straight above and in the light it
// was photographed in: for a person to look at.
type Flat struct {
	Image *image.Gray
	// toPhoto maps its pixels to the upright photo, toFlat the photo's to it.
	toPhoto, toFlat raster.Plane
}

// Flatten lays the paper of a photo flat, as Read does before it looks for
// lines. turn is the photo's Page.Turn, since only who has read the lines knows
// which end of the paper is up. A photo that Read reads costs nothing for it.
func Flatten(data []byte, turn int, opts Options) (*Flat, error) {
	p, err := load(1, data, 0, opts.DecodeJPEG)
	if err != nil {
		return nil, err
	}
	if p.width < 48 || p.height < 48 {
		return nil, refuse(1, "name the photo of a receipt", "the picture is too small to hold one")
	}
	f, err := flatten(p, hands[opts.Way%Ways], opts.Paper, func(shrink int) (*photo, error) { return load(1, data, shrink, opts.DecodeJPEG) })
	if err != nil {
		return nil, err
	}
	switch (f.turn - turn%4 + 4) % 4 {
	case 0:
	case 2:
		f.overhead(p.width, p.height)
	default:
		return nil, fmt.Errorf("the paper lies another way than the %d quarter turns at which it was read", turn)
	}
	return &Flat{Image: f.grey, toPhoto: f.toPhoto, toFlat: f.toPhoto.Inverse()}, nil
}

// Box is where box, of a line or word on the upright photo, lies on the flat
// paper. Lines run level there and mostly do not on the photo, whose boxes are
// therefore too high for them: what is returned is the level rectangle that has
// just this box on the photo.
func (f *Flat) Box(box Box) image.Rectangle {
	w, h := float64(box.W), float64(box.H)
	c := f.toFlat.Map(raster.Point{X: float64(box.X) + w/2, Y: float64(box.Y) + h/2})
	const step = 8
	left, right := f.toPhoto.Map(raster.Point{X: c.X - step, Y: c.Y}), f.toPhoto.Map(raster.Point{X: c.X + step, Y: c.Y})
	above, below := f.toPhoto.Map(raster.Point{X: c.X, Y: c.Y - step}), f.toPhoto.Map(raster.Point{X: c.X, Y: c.Y + step})
	// How far the photo's pixels go for one pixel of the flat paper, across and down.
	xx, yx := math.Abs(right.X-left.X)/(2*step), math.Abs(right.Y-left.Y)/(2*step)
	xy, yy := math.Abs(below.X-above.X)/(2*step), math.Abs(below.Y-above.Y)/(2*step)
	fw, fh := w/max(xx, 1e-6), h/max(yy, 1e-6)
	if det := xx*yy - xy*yx; det > 1e-6 {
		// A line that runs far aslant has a box many times as high as itself.
		if lw, lh := (yy*w-xy*h)/det, (xx*h-yx*w)/det; lw > 0.5*fw && lh > 0.05*fh {
			fw, fh = lw, lh
		}
	}
	r := image.Rect(int(math.Floor(c.X-fw/2)), int(math.Floor(c.Y-fh/2)), int(math.Ceil(c.X+fw/2)), int(math.Ceil(c.Y+fh/2)))
	return r.Intersect(f.Image.Rect)
}
