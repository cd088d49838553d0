package clip

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"time"
)

// Probe reads a clip's header. A file that is no clip gives a *Refusal.
func Probe(ctx context.Context, path string) (Info, error) {
	abs, size, cut, err := admit(path)
	if err != nil {
		return Info{}, err
	}
	cmd := exec.CommandContext(ctx, "ffprobe", "-v", "error", "-protocol_whitelist", "file,pipe",
		"-format_whitelist", formats, "-show_format", "-show_streams", "-of", "json", "-i", "file:"+abs)
	Tie(cmd)
	out, err := cmd.Output()
	if err != nil {
		return Info{}, probeFailure(ctx, path, err)
	}
	info, err := parseProbe(out)
	var refusal *Refusal
	if errors.As(err, &refusal) {
		refusal.File = path
		return Info{}, refusal
	}
	if err != nil {
		return Info{}, fmt.Errorf("reading the header of clip %q: %w", path, err)
	}
	info.Path, info.Bytes = path, size
	if cut {
		info.Warnings = append(info.Warnings, Warning{Code: CutOff, Frame: -1, Text: "the end of the file is missing: it was not recorded or copied to its end"})
	}
	return info, nil
}

// probeFailure tells a missing program and an interruption from a bad file.
func probeFailure(ctx context.Context, path string, err error) error {
	if ctx.Err() != nil {
		return fmt.Errorf("reading the header of clip %q: %w", path, ctx.Err())
	}
	var exit *exec.ExitError
	if !errors.As(err, &exit) {
		return fmt.Errorf("running ffprobe, is ffmpeg installed: %w", err)
	}
	said := string(exit.Stderr)
	switch {
	case strings.Contains(said, "not on whitelist"):
		return &Refusal{NotAClip, path, "is not a film", "only mp4, mov, mkv, webm, mpeg-ts and avi are read"}
	case strings.Contains(said, "moov atom not found"):
		return &Refusal{Incomplete, path, "has no index: it was not recorded or copied to its end", hintCopy}
	}
	return &Refusal{Unreadable, path, "is damaged (" + firstLine(said) + ")", hintCopy}
}

func firstLine(s string) string {
	line, _, _ := strings.Cut(strings.TrimSpace(s), "\n")
	if _, after, ok := strings.Cut(line, "] "); ok {
		line = after
	}
	return line
}

// The part of ffprobe's JSON that is used.
type probed struct {
	Streams []probedStream `json:"streams"`
	Format  struct {
		Name     string            `json:"format_name"`
		Duration string            `json:"duration"`
		Tags     map[string]string `json:"tags"`
	} `json:"format"`
}

type probedStream struct {
	Kind        string            `json:"codec_type"`
	Codec       string            `json:"codec_name"`
	Width       int               `json:"width"`
	Height      int               `json:"height"`
	Aspect      string            `json:"sample_aspect_ratio"`
	PixelFormat string            `json:"pix_fmt"`
	Range       string            `json:"color_range"`
	Matrix      string            `json:"color_space"`
	Transfer    string            `json:"color_transfer"`
	Primaries   string            `json:"color_primaries"`
	Siting      string            `json:"chroma_location"`
	FieldOrder  string            `json:"field_order"`
	BaseRate    string            `json:"r_frame_rate"`
	AverageRate string            `json:"avg_frame_rate"`
	Duration    string            `json:"duration"`
	Frames      string            `json:"nb_frames"`
	Tags        map[string]string `json:"tags"`
	Disposition struct {
		Cover int `json:"attached_pic"`
	} `json:"disposition"`
	SideData []struct {
		Rotation *float64 `json:"rotation"`
	} `json:"side_data_list"`
}

// maxSideCoded keeps sizes within what arithmetic on pictures can bear; no phone
// codes more.
const maxSideCoded = 16384

// parseProbe turns ffprobe's JSON into an Info without path and size.
func parseProbe(data []byte) (Info, error) {
	var p probed
	if err := json.Unmarshal(data, &p); err != nil {
		return Info{}, fmt.Errorf("understanding ffprobe: %w", err)
	}
	info := Info{Container: p.Format.Name, Duration: seconds(p.Format.Duration)}
	var video *probedStream
	for k := range p.Streams {
		s := &p.Streams[k]
		switch {
		case s.Kind == "audio":
			info.AudioStreams++
		case s.Kind == "video" && video == nil && s.Disposition.Cover == 0:
			video = s
		}
	}
	if video == nil || video.Width <= 0 || video.Height <= 0 {
		return Info{}, &Refusal{Code: NoPictures, Text: "has no pictures", Hint: "give the film as the phone wrote it"}
	}
	if video.Codec == "" || video.Codec == "none" || video.Codec == "unknown" {
		return Info{}, &Refusal{Code: UnknownCodec, Text: "is coded in a way that cannot be decoded here", Hint: "set the phone to its most compatible format"}
	}
	if max(video.Width, video.Height) > maxSideCoded {
		return Info{}, &Refusal{Code: TooLarge, Text: fmt.Sprintf("has %dx%d pixels", video.Width, video.Height), Hint: "film smaller"}
	}
	info.fillPicture(video)
	info.fillRates(video, p.Format.Tags)
	info.Device = device(p.Format.Tags, video.Tags)
	info.Recorded, info.RecordedFrom = recorded(p.Format.Tags, video.Tags)
	info.warn()
	return info, nil
}

func (i *Info) fillPicture(s *probedStream) {
	i.Codec, i.PixelFormat = s.Codec, s.PixelFormat
	i.Range, i.Matrix = tag(s.Range), tag(s.Matrix)
	i.Transfer, i.Primaries, i.Siting = tag(s.Transfer), tag(s.Primaries), tag(s.Siting)
	i.Bits = bits(s.PixelFormat)
	i.Interlaced = s.FieldOrder != "" && s.FieldOrder != "progressive" && s.FieldOrder != "unknown"
	i.StoredWidth, i.StoredHeight = s.Width, s.Height
	i.PixelAspect = ratio(s.Aspect, ":")
	if a := i.PixelAspect.Float(); !(a > 0.1 && a < 10) {
		i.PixelAspect = Rate{1, 1}
	}
	for _, d := range s.SideData {
		if d.Rotation != nil && math.Abs(*d.Rotation) <= 360 {
			quarter := int(math.Round(-*d.Rotation / 90))
			i.Rotation = ((quarter%4 + 4) % 4) * 90
		}
	}
	i.Width, i.Height = upright(s.Width, s.Height, i.Rotation, i.PixelAspect)
}

func (i *Info) fillRates(s *probedStream, format map[string]string) {
	i.AverageRate, i.BaseRate = ratio(s.AverageRate, "/"), ratio(s.BaseRate, "/")
	i.Frames, _ = strconv.Atoi(s.Frames)
	i.Frames = max(i.Frames, 0)
	if d := seconds(s.Duration); d > 0 {
		i.Duration = d
	}
	for _, tags := range []map[string]string{format, s.Tags} {
		if v := seconds(tags["com.android.capture.fps"]); v > 0 {
			i.CaptureRate = v
		}
	}
}

// warn notes what the header alone already makes doubtful.
func (i *Info) warn() {
	avg, base := i.AverageRate.Float(), i.BaseRate.Float()
	if i.uneven() {
		i.Warnings = append(i.Warnings, Warning{Code: UnevenRate, Frame: -1,
			Text: fmt.Sprintf("frames come at %.4g/s on average but at %.4g/s in places: dropped frames or a slow-motion ramp", avg, base)})
	}
	if i.Matrix == "" && !strings.HasPrefix(i.PixelFormat, "gbr") && !strings.HasPrefix(i.PixelFormat, "gray") {
		i.Warnings = append(i.Warnings, Warning{Code: ColourGuess, Frame: -1, Text: "the file does not say how colours are coded; " + i.matrix() + " is assumed from its size"})
	}
}

// believe takes the rate of filming from the options where they give one, and
// says what slow motion means for the times.
func (i *Info) believe(o Options) {
	if o.CaptureRate > 0 {
		i.CaptureRate = o.CaptureRate
	}
	if k := i.StorageStretch(); k != 1 {
		i.Duration /= k
		i.Warnings = append(i.Warnings, Warning{Code: SlowMotion, Frame: -1,
			Text: fmt.Sprintf("slow motion: filmed at %.4g frames/s and stored at %.4g, so times are %.4g times shorter than in the file", i.CaptureRate, i.AverageRate.Float(), k)})
	}
}

// tag returns a colour tag, "" for the ways of saying that there is none.
func tag(s string) string {
	if s == "unknown" || s == "unspecified" || s == "reserved" {
		return ""
	}
	return s
}

// bits reads the depth out of a pixel format's name, e.g. yuv420p10le.
func bits(format string) int {
	name := strings.TrimSuffix(strings.TrimSuffix(format, "le"), "be")
	for _, b := range []int{16, 14, 12, 10, 9} {
		if strings.HasSuffix(name, strconv.Itoa(b)) {
			return b
		}
	}
	return 8
}

func seconds(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
		return 0
	}
	return v
}

func ratio(s, sep string) Rate {
	a, b, ok := strings.Cut(s, sep)
	num, err1 := strconv.Atoi(a)
	den, err2 := strconv.Atoi(b)
	if !ok || err1 != nil || err2 != nil || num <= 0 || den <= 0 {
		return Rate{}
	}
	return Rate{num, den}
}

// device finds the phone that filmed.
func device(tags ...map[string]string) string {
	for _, t := range tags {
		for _, names := range [][2]string{{"com.apple.quicktime.make", "com.apple.quicktime.model"}, {"com.android.manufacturer", "com.android.model"}, {"make", "model"}} {
			if d := strings.TrimSpace(t[names[0]] + " " + t[names[1]]); d != "" {
				return d
			}
		}
	}
	return ""
}

// recorded finds when the clip was filmed. Phones write 1904 or 1970 when they
// do not know; editors write the time of editing, so a phone's own tag wins.
func recorded(tags ...map[string]string) (time.Time, string) {
	for _, t := range tags {
		for _, layout := range []string{"2006-01-02T15:04:05-0700", time.RFC3339} {
			if at, err := time.Parse(layout, t["com.apple.quicktime.creationdate"]); err == nil {
				return at, "phone"
			}
		}
	}
	for _, t := range tags {
		if at, err := time.Parse(time.RFC3339, t["creation_time"]); err == nil && at.Year() > 1990 {
			return at, "container"
		}
	}
	return time.Time{}, ""
}
