package scene

import "strokereel/overlay"

// valueRow is a name and its value on one line: the number stands out, name and
// interval stand back.
func valueRow(name string, v Value) overlay.Row {
	r := overlay.Row{
		{Text: name + "  ", Size: overlay.Body, Weight: overlay.Regular, Colour: overlay.Mist},
		{Text: v.Text, Size: overlay.Body, Weight: overlay.Bold, Colour: overlay.Chalk},
	}
	return append(r, tail(v)...)
}

// spreadRow is valueRow with the value at the right edge of the plate.
func spreadRow(name string, v Value) overlay.Row {
	r := overlay.Row{
		{Text: name, Size: overlay.Small, Weight: overlay.Regular, Colour: overlay.Mist},
		overlay.Tab,
		{Text: v.Text, Size: overlay.Small, Weight: overlay.Bold, Colour: overlay.Chalk},
	}
	return append(r, tail(v)...)
}

// tail is what follows a value.
func tail(v Value) overlay.Row {
	var r overlay.Row
	for _, t := range []string{v.Interval, v.Reason} {
		if t != "" {
			r = append(r, overlay.Run{Text: " " + t, Size: overlay.Small, Weight: overlay.Regular, Colour: overlay.Mist})
		}
	}
	return r
}

// shortRow is a value without a name.
func shortRow(v Value) overlay.Row {
	return append(overlay.Row{{Text: v.Text, Size: overlay.Body, Weight: overlay.Bold, Colour: overlay.Chalk}}, tail(v)...)
}

// stacked is a value below its name.
func stacked(name string, v Value) []overlay.Row {
	return []overlay.Row{overlay.Quiet(name), shortRow(v)}
}
