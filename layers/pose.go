package layers

import "github.com/go-gl/mathgl/mgl64"

// Pose tells where a plate's plane lies in the product: Origin is where the
// plate's own origin lands, X and Y are the unit vectors its axes point along.
// The sheet fills the heights from Back to Back + thickness along Normal.
type Pose struct {
	Origin mgl64.Vec3 // stack coordinates, mm
	X, Y   mgl64.Vec3
	Back   float64 // mm along Normal
}

// Flat returns the pose of a plate in the stack whose back lies at height z.
func Flat(z float64) Pose {
	return Pose{Origin: mgl64.Vec3{0, 0, z}, X: mgl64.Vec3{1, 0, 0}, Y: mgl64.Vec3{0, 1, 0}}
}

// Standing returns the pose of a plate that stands square to the stack over
// the line through at in direction turn: its own x runs along that line, its
// own y up from height z, and its thickness lies half to each side.
func Standing(at Point, turn Degrees, z, thickness float64) Pose {
	u := turn.Unit()
	return Pose{
		Origin: mgl64.Vec3{at.X, at.Y, z},
		X:      mgl64.Vec3{u.X, u.Y, 0},
		Y:      mgl64.Vec3{0, 0, 1},
		Back:   -thickness / 2,
	}
}

// Normal returns the unit vector from the plate's back to its front.
func (p Pose) Normal() mgl64.Vec3 { return p.X.Cross(p.Y) }

// World returns where the point of the plate's plane lands that lies n mm
// along the normal.
func (p Pose) World(at Point, n float64) mgl64.Vec3 {
	return p.Origin.Add(p.X.Mul(at.X)).Add(p.Y.Mul(at.Y)).Add(p.Normal().Mul(n))
}

// Local is the inverse of World.
func (p Pose) Local(w mgl64.Vec3) (at Point, n float64) {
	d := w.Sub(p.Origin)
	return Point{d.Dot(p.X), d.Dot(p.Y)}, d.Dot(p.Normal())
}

// Mat4 returns World as a matrix: columns X, Y, Normal and Origin.
func (p Pose) Mat4() mgl64.Mat4 {
	return mgl64.Mat4FromCols(p.X.Vec4(0), p.Y.Vec4(0), p.Normal().Vec4(0), p.Origin.Vec4(1))
}
