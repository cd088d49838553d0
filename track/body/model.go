package body

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"

	"gocv.io/x/gocv"

	"strokereel/track"
	"strokereel/track/heap"
	"strokereel/track/tflite"
)

// ErrNoModel says that no body model is installed.
var ErrNoModel = errors.New("no body model is installed: run scripts/setup --pose")

// The networks of @mediapipe/pose 0.5.1675469404 (Apache-2.0): one finds people,
// one the joints of a person. Of the three for joints this is the slowest: beside it
// the next errs three times as much in how far apart the elbows are. Others are never loaded, as the library that runs
// them does not survive a file it dislikes.
const (
	detectorFile = "pose_solution_packed_assets.data"
	detectorHash = "a63c614bef30d35947f13be361820b1e4e3bec9cfeebf4d11216a18373108e85"
	jointsFile   = "pose_landmark_heavy.tflite"
	jointsHash   = "59e42d71bcd44cbdbabc419f0ff76686595fd265419566bd4009ef703ea8e1fe"
)

// Model finds the joints of people without anything worn. Close frees what
// OpenCV holds.
type Model struct {
	detector, joints gocv.Net
	input            []float32
	raw              []byte
}

// Installed reports whether both files of the model are in a folder.
func Installed(folder string) bool {
	for _, name := range []string{detectorFile, jointsFile} {
		if _, err := os.Stat(filepath.Join(folder, name)); err != nil {
			return false
		}
	}
	return true
}

// OpenModel reads the model from a folder; ErrNoModel when it is not there.
func OpenModel(folder string) (*Model, error) {
	detector, err := network(filepath.Join(folder, detectorFile), detectorHash, "Identity", "Identity_1")
	if err != nil {
		return nil, err
	}
	joints, err := network(filepath.Join(folder, jointsFile), jointsHash, "Identity", "Identity_1", "Identity_3")
	if err != nil {
		detector.Close()
		return nil, err
	}
	return &Model{detector: detector, joints: joints}, nil
}

func network(file, hash string, outputs ...string) (gocv.Net, error) {
	data, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		return gocv.Net{}, ErrNoModel
	}
	if err != nil {
		return gocv.Net{}, fmt.Errorf("reading the body model: %w", err)
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != hash {
		return gocv.Net{}, fmt.Errorf("reading the body model: %q is not the file it should be: delete it and run scripts/setup --pose", filepath.Base(file))
	}
	graph, err := tflite.Convert(data, outputs...)
	if err != nil {
		return gocv.Net{}, fmt.Errorf("reading the body model %q: %w", filepath.Base(file), err)
	}
	// What the conversion leaves is several times the file, and loading takes as much
	// again.
	data = nil
	heap.GiveBack()
	defer heap.GiveBack()
	net, err := gocv.ReadNetFromONNXBytes(graph)
	if err != nil || net.Empty() {
		return gocv.Net{}, fmt.Errorf("loading the body model %q: %v", filepath.Base(file), err)
	}
	return net, nil
}

// Close frees the networks.
func (m *Model) Close() {
	m.detector.Close()
	m.joints.Close()
}

// run hands a picture to a network and returns copies of its outputs.
func (m *Model) run(net *gocv.Net, side int, outputs []string) ([][]float32, error) {
	if cap(m.raw) < 4*len(m.input) {
		m.raw = make([]byte, 4*len(m.input))
	}
	m.raw = m.raw[:4*len(m.input)]
	for i, v := range m.input {
		binary.NativeEndian.PutUint32(m.raw[4*i:], math.Float32bits(v))
	}
	blob, err := gocv.NewMatWithSizesFromBytes([]int{1, 3, side, side}, gocv.MatTypeCV32F, m.raw)
	if err != nil {
		return nil, fmt.Errorf("running the body model: %w", err)
	}
	defer blob.Close()
	net.SetInput(blob, "")
	mats := net.ForwardLayers(outputs)
	out := make([][]float32, len(mats))
	for i := range mats {
		p, err := mats[i].DataPtrFloat32()
		if err == nil {
			out[i] = append([]float32(nil), p...)
		}
		mats[i].Close()
		if err != nil {
			return nil, fmt.Errorf("running the body model: %w", err)
		}
	}
	return out, nil
}

const (
	detectorSide = 224
	jointsSide   = 256
	heatSide     = 64
	// leastScore is what a person's score must be, as the model's makers use it.
	leastScore = 0.5
)

// person is somebody the detector found.
type person struct {
	region region
	score  float64
}

// people finds the people in a frame, the surest first.
func (m *Model) people(f *track.Frame, mirrored bool) ([]person, error) {
	side := math.Max(float64(f.Width), float64(f.Height))
	whole := region{x: float64(f.Width) / 2, y: float64(f.Height) / 2, size: side}
	m.input = make([]float32, 3*detectorSide*detectorSide)
	sample(m.input, detectorSide, f, whole, mirrored, 2, -1)
	out, err := m.run(&m.detector, detectorSide, []string{"Identity", "Identity_1"})
	if err != nil {
		return nil, err
	}
	return persons(out[0], out[1], whole), nil
}

// Pose is the joints of one person in one frame, px.
type Pose struct {
	Score  float64
	Joints [jointCount]Joint
	next   region
}

// Joint is one joint; Seen is how surely it is there and not hidden, 0 to 1.
type Joint struct{ X, Y, Seen float64 }

// jointCount is how many points the network tells, the last two of which only
// say where to look next.
const jointCount = 35

// pose finds the joints within a region.
func (m *Model) pose(f *track.Frame, r region, mirrored bool) (Pose, error) {
	m.input = make([]float32, 3*jointsSide*jointsSide)
	sample(m.input, jointsSide, f, r, mirrored, 1, 0)
	out, err := m.run(&m.joints, jointsSide, []string{"Identity", "Identity_1", "Identity_3"})
	if err != nil {
		return Pose{}, err
	}
	if len(out[0]) < 5*jointCount || len(out[1]) < 1 || len(out[2]) < jointCount*heatSide*heatSide {
		return Pose{}, fmt.Errorf("running the body model: it told %d numbers", len(out[0]))
	}
	p := Pose{Score: float64(out[1][0])}
	for i := range p.Joints {
		v := out[0][5*i:]
		x, y := float64(v[0])/jointsSide, float64(v[1])/jointsSide
		x, y, hot := refined(out[2][i*heatSide*heatSide:(i+1)*heatSide*heatSide], x, y)
		p.Joints[i].X, p.Joints[i].Y = r.at(x, y)
		p.Joints[i].Seen = math.Min(hot, logistic(float64(v[3])))
	}
	a, b := p.Joints[33], p.Joints[34]
	p.next = around(a.X, a.Y, b.X, b.Y)
	for i := range p.Joints { // px from the first pixel's centre
		p.Joints[i].X -= 0.5
		p.Joints[i].Y -= 0.5
		if mirrored {
			p.Joints[i].X = float64(f.Width-1) - p.Joints[i].X
		}
	}
	return p, nil
}
