package pipeline

import (
	"math"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
	"strokereel/track/cast"
	"strokereel/track/measure"
)

// ruler is what gives the scale, and how the camera stood to the putt line.
type ruler struct {
	ball   track.Scale      // of the ball's plane
	yaw    measure.Quantity // rad, the picture shrinking to the right positive
	budget track.Budget     // of the scale of the sticker's plane
}

// ruler is the rod where the sheet names one and it is seen, else the ball; the
// report says how the camera stood.
func (r *Result) ruler(parts cast.Cast, spots []cast.Spot, sheet settings.Sheet, o measure.Options) (from ruler, err error) {
	camera, slope, level := &r.Report.Camera, parts.DirY/parts.DirX, parts.DirectionKnown
	turn := o.Yaw()
	rod, found := cast.Rod{}, false
	if sheet.HasRod() {
		if rod, found = cast.FindRod(spots, sheet.Rod(), parts.Ball); !found {
			r.warn("no_rod", "the sheet names a rod, but no three bands of one colour lie still at its distances on the ball's line before the stroke: the ball is the ruler")
		}
	}
	if found {
		if from, err = byRod(rod, parts.Ball, sheet.Rod(), o); err != nil {
			return from, err
		}
		slope, level = (rod.Y[2]-rod.Y[0])/(rod.X[2]-rod.X[0]), true
		turn = measure.AtAnyDistance(from.yaw, o.CameraDistance())
		camera.YawDeg = estimate(turn, "measured")
	} else if from, err = byBall(parts.Ball, float64(r.Report.Clip.Width), o); err != nil {
		return from, err
	}
	if level {
		camera.RollDeg = estimate(rollOf(slope, turn), "measured")
	}
	return from, nil
}

func byBall(b cast.Ball, pictureWidth float64, o measure.Options) (ruler, error) {
	width := measure.Quantity{Value: b.Width, U: b.UWidth}
	scale, err := measure.BallScale(width, o.BallDiameter())
	if err != nil {
		return ruler{}, err
	}
	aside := b.RestX - (pictureWidth-1)/2
	return ruler{measure.Aside(scale, aside, o.CameraDistance()), o.Yaw(),
		measure.ScaleBudget(width, o.BallDiameter(), o.StickerOffset(), o.CameraDistance(), aside)}, nil
}

func byRod(rod cast.Rod, b cast.Ball, distances [2]float64, o measure.Options) (ruler, error) {
	dx, dy := rod.X[2]-rod.X[0], rod.Y[2]-rod.Y[0]
	along := func(x, y float64) float64 { return ((x-rod.X[0])*dx + (y-rod.Y[0])*dy) / math.Hypot(dx, dy) }
	bands := measure.Bands{U: rod.U, Distances: distances, Ball: along(b.RestX, b.RestY)}
	for i := range bands.Along {
		bands.Along[i] = along(rod.X[i], rod.Y[i])
	}
	scale, yaw, err := measure.RodScale(bands, o.CameraDistance(), o.MaxYaw*math.Pi/180)
	return ruler{scale, yaw, measure.RodBudget(scale, o.StickerOffset(), o.CameraDistance())}, err
}

// rollOf is the camera's roll, clockwise positive, told by the slope in the picture
// (down to the right positive) of a level line on the ground: seen from above, a
// line that recedes to the right rises there.
func rollOf(slope float64, yaw measure.Quantity) measure.Quantity {
	return measure.Quantity{
		Value: -math.Atan(slope) - yaw.Value*measure.LookDown.Value,
		U:     math.Hypot(lineU, math.Hypot(yaw.U*measure.LookDown.Value, yaw.Value*measure.LookDown.U)),
	}
}

// lineU is how well the slope of the putt line is known, rad: half a pixel over two
// hundred, and greens that are not quite level.
const lineU = 0.004

func estimate(rad measure.Quantity, source string) lesson.Estimate {
	const degrees = 180 / math.Pi
	return lesson.Estimate{Value: lesson.Number(rad.Value * degrees), U95: lesson.Number(lesson.Coverage * rad.U * degrees), Source: source}
}
