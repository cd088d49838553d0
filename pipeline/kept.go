package pipeline

import (
	"path/filepath"
	"reflect"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
	"strokereel/track/body"
)

// Kept returns what measuring a clip left in a folder. It is not ok unless
// nothing is missing there and measuring again would give the same: the bytes of
// the clip, its name, what a person put right, the settings and the program are
// those of the report.
func Kept(file, dir string, s settings.Settings, fix sheet.Correction) (f lesson.Findings, ok bool) {
	f, err := lesson.ReadFindings(dir, file)
	if err != nil || f.Report.Clip.File != filepath.Base(file) || !reflect.DeepEqual(f.Report.MadeBy, madeBy(s, fix, Delay{})) {
		return f, false
	}
	if len(f.Report.Strokes) > 0 && len(f.Smooth) == 0 {
		return f, false // its path is gone
	}
	sum, err := lesson.Hash(file)
	return f, err == nil && sum == f.Report.Clip.SHA256
}

// madeBy is all that a report follows from beside its clip.
func madeBy(s settings.Settings, fix sheet.Correction, told Delay) lesson.MadeBy {
	steps := map[string]string{"track": TrackVersion, "measure": MeasureVersion, "body_model": "none"}
	if body.Installed(modelFolder(s.Track.Body)) {
		steps["body_model"] = "installed"
	}
	if len(fix.Strokes)+len(fix.Points) > 0 {
		steps["corrections"] = Fingerprint(fix.Strokes, fix.Points)
	}
	if told.U > 0 {
		steps[soundStep] = told.String()
	}
	return lesson.MadeBy{Version: Version, Settings: s.Fingerprint(settings.Measuring()...), Changed: s.Changed(settings.Measuring()...), Steps: steps}
}
