package raster

import (
	"image"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b Point) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) < 1e-6 }

var square = [4]Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}}

// What a camera keeps: corners go to corners, and where the diagonals cross to
// where they cross. In the trapezoid (0,0) (4,0) (3,2) (1,2) they are y = 2x/3 and
// y = 2(4-x)/3, so that is (2, 4/3), above its middle line.
func TestPlaneBetween(t *testing.T) {
	trapezoid := [4]Point{{0, 0}, {4, 0}, {3, 2}, {1, 2}}
	p, ok := PlaneBetween(square, trapezoid)
	if !ok {
		t.Fatal("there is no such plane")
	}
	for i, q := range square {
		if got := p.Map(q); !near(got, trapezoid[i]) {
			t.Errorf("%v goes to %v, want %v", q, got, trapezoid[i])
		}
	}
	if got := p.Map(Point{0.5, 0.5}); !near(got, Point{2, 4. / 3}) {
		t.Errorf("the crossing goes to %v", got)
	}
	if got := p.Inverse().Map(Point{2, 4. / 3}); !near(got, Point{0.5, 0.5}) {
		t.Errorf("the crossing comes back to %v", got)
	}
	if got := p.Scaled(3).Map(Point{0.5, 0.5}); !near(got, Point{6, 4}) {
		t.Errorf("three times as large it goes to %v", got)
	}
}

// Known planes come out again of where they put four points.
func TestPlaneComesBack(t *testing.T) {
	for _, want := range []Plane{
		Identity,
		{2, 0, 1, 0, 3, -1, 0, 0, 1},        // larger and moved
		{0, -1, 5, 1, 0, 2, 0, 0, 1},        // a quarter turn
		{2, 0.5, 1, 0.25, 3, 4, 0, 0.5, 1},  // aslant
		{1, 0, 0, 0, 1, 0, 0.125, -0.25, 1}, // aslant both ways
	} {
		var to [4]Point
		for i, q := range square {
			w := want[6]*q.X + want[7]*q.Y + 1
			to[i] = Point{(want[0]*q.X + want[1]*q.Y + want[2]) / w, (want[3]*q.X + want[4]*q.Y + want[5]) / w}
		}
		got, ok := PlaneBetween(square, to)
		for i := range want {
			if !ok || math.Abs(got[i]-want[i]) > 1e-9 {
				t.Fatalf("%v, want %v", got, want)
			}
		}
	}
}

func TestNoPlane(t *testing.T) {
	for _, from := range [][4]Point{
		{{0, 0}, {1, 0}, {2, 0}, {0, 1}},
		{{0, 0}, {0, 0}, {1, 1}, {0, 1}},
		{{1, 1}, {2, 2}, {3, 3}, {4, 4}},
	} {
		if p, ok := PlaneBetween(from, square); ok {
			t.Errorf("%v: %v", from, p)
		}
	}
}

// There and back is where one was, and After is one after the other.
func TestPlanesGoTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
		plane := func() Plane { // no point within the square goes to infinity
			return Plane{f("a", 0.5, 2), f("b", -0.2, 0.2), f("c", -9, 9), f("d", -0.2, 0.2), f("e", 0.5, 2), f("f", -9, 9), f("g", -0.01, 0.01), f("h", -0.01, 0.01), 1}
		}
		p, q, at := plane(), plane(), Point{f("x", 0, 1), f("y", 0, 1)}
		if got := p.Inverse().Map(p.Map(at)); !near(got, at) {
			t.Fatalf("%v comes back to %v", at, got)
		}
		if got, want := p.After(q).Map(at), p.Map(q.Map(at)); !near(got, want) {
			t.Fatalf("%v, one after the other %v", got, want)
		}
	})
}

// A point on the horizon has no place; far away is as good as any.
func TestHorizon(t *testing.T) {
	got := Plane{1, 0, 0, 0, 1, 0, 1, 0, -1}.Map(Point{1, 1})
	if math.IsNaN(got.X) || math.IsInf(got.X, 0) || math.Abs(got.X) < 1e6 {
		t.Errorf("the horizon is at %v", got)
	}
}

func TestWarp(t *testing.T) {
	g := noise(40, 30, 7)
	if Warp(g, 40, 30, Identity) != g {
		t.Error("a picture is drawn again as it is")
	}
	// Three to the right and two down; what was beyond is the edge.
	moved := Warp(g, 40, 30, Plane{1, 0, -3, 0, 1, -2, 0, 0, 1})
	for _, q := range []image.Point{{3, 2}, {20, 17}, {39, 29}} {
		if got, want := moved.GrayAt(q.X, q.Y), g.GrayAt(q.X-3, q.Y-2); got != want {
			t.Errorf("at %v is %v, want %v", q, got, want)
		}
	}
	if got, want := moved.GrayAt(0, 0), g.GrayAt(0, 0); got != want {
		t.Errorf("beyond the edge is %v, want the edge's %v", got, want)
	}
	// A quarter turn clockwise: what is at x, y comes from y, 30-x.
	same(t, "a quarter turn", Warp(g, 30, 40, Plane{0, 1, 0, -1, 0, 30, 0, 0, 1}), Turn(g, 1))
	larger := Resize(g, 100, 90)
	if d := off(Warp(g, 100, 90, Plane{0.4, 0, 0, 0, 1. / 3, 0, 0, 0, 1}), larger, larger.Rect); d > 1 {
		t.Errorf("enlarged, it is %d off", d)
	}
	// Aslant, large enough for several bands: pixel by pixel.
	p := Plane{0.7, 0.04, 2, 0.02, 0.4, 4, 0.001, -0.0008, 2}
	slanted := Warp(g, 90, 130, p)
	for y := range 130 {
		for x := range 90 {
			q := p.Map(Point{float64(x) + 0.5, float64(y) + 0.5})
			if d := int(slanted.GrayAt(x, y).Y) - int(At(g, q.X-0.5, q.Y-0.5)); d < -1 || d > 1 {
				t.Fatalf("at %d,%d it is %d off", x, y, d)
			}
		}
	}
}

func TestSolve(t *testing.T) {
	// x+y+z = 6, 2y+5z = -4, 2x+5y-z = 27: 5, 3 and -2.
	x, ok := Solve([][]float64{{1, 1, 1}, {0, 2, 5}, {2, 5, -1}}, []float64{6, -4, 27})
	for i, want := range []float64{5, 3, -2} {
		if !ok || math.Abs(x[i]-want) > 1e-12 {
			t.Fatalf("%v, %v", x, ok)
		}
	}
	if x, ok := Solve([][]float64{{0, 1}, {1, 0}}, []float64{3, 4}); !ok || x[0] != 4 || x[1] != 3 {
		t.Errorf("rows in another order: %v, %v", x, ok)
	}
	if x, ok := Solve([][]float64{{1, 2}, {2, 4}}, []float64{1, 2}); ok {
		t.Errorf("one line twice: %v", x)
	}
}
