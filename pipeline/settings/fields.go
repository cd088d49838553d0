package settings

import (
	"encoding"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
)

// field is one setting: its place in a Settings and what its tags say.
type field struct {
	key, unit, span, help string
	value                 reflect.Value
}

// section is a group of settings, one struct.
type section struct {
	key, help string
	value     reflect.Value
}

// fields lists the settings in s, a pointer to a struct, in order.
func fields(s any) []field {
	all, _ := walk("", reflect.ValueOf(s).Elem())
	return all
}

// sections lists the groups of settings in s, outer ones first.
func sections(s any) []section {
	_, all := walk("", reflect.ValueOf(s).Elem())
	return all
}

func walk(prefix string, v reflect.Value) (fs []field, ss []section) {
	for i := range v.NumField() {
		tag := v.Type().Field(i).Tag
		key, value := prefix+tag.Get("key"), v.Field(i)
		if tag.Get("key") == "" {
			continue
		}
		if value.Kind() == reflect.Struct && !parsesItself(value) {
			inner, below := walk(key+".", value)
			fs = append(fs, inner...)
			ss = append(append(ss, section{key, tag.Get("help"), value}), below...)
			continue
		}
		unit := tag.Get("unit")
		if unit == "1" { // a pure number
			unit = ""
		}
		fs = append(fs, field{key, unit, tag.Get("range"), tag.Get("help"), value})
	}
	return fs, ss
}

func parsesItself(v reflect.Value) bool {
	_, ok := v.Addr().Interface().(encoding.TextUnmarshaler)
	return ok
}

// set changes the setting from its text.
func (f field) set(text string) error {
	if u, ok := f.value.Addr().Interface().(encoding.TextUnmarshaler); ok {
		if err := u.UnmarshalText([]byte(text)); err != nil {
			return fmt.Errorf("%s: %w", f.key, err)
		}
		return nil
	}
	switch f.value.Kind() {
	case reflect.String:
		f.value.SetString(text)
		return nil
	case reflect.Bool:
		v, err := strconv.ParseBool(text)
		if err != nil {
			return fmt.Errorf("%s: must be true or false (got %q)", f.key, text)
		}
		f.value.SetBool(v)
		return nil
	}
	number, err := f.bare(text)
	if err != nil {
		return err
	}
	if f.value.CanInt() {
		v, err := strconv.ParseInt(number, 10, 64)
		if err != nil || f.value.OverflowInt(v) {
			return fmt.Errorf("%s: must be a whole number (got %q)", f.key, text)
		}
		f.value.SetInt(v)
		return nil
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%s: must be a number (got %q)", f.key, text)
	}
	f.value.SetFloat(v)
	return nil
}

// bare takes the unit off a number.
func (f field) bare(text string) (string, error) {
	number, unit, ok := strings.Cut(text, " ")
	if !ok {
		return text, nil
	}
	if strings.TrimSpace(unit) == f.unit && f.unit != "" {
		return number, nil
	}
	if f.unit == "" {
		return "", fmt.Errorf("%s: must be a number without a unit (got %q)", f.key, text)
	}
	return "", fmt.Errorf("%s: must be a number in %s (got %q)", f.key, f.unit, text)
}

// text is the value as the file has it.
func (f field) text() string {
	if m, ok := f.value.Addr().Interface().(encoding.TextMarshaler); ok {
		if t, err := m.MarshalText(); err == nil {
			return string(t)
		}
	}
	if f.value.CanFloat() {
		return strconv.FormatFloat(f.value.Float(), 'f', -1, 64)
	}
	return fmt.Sprint(f.value.Interface())
}

// find returns the setting of this key; the error suggests the nearest.
func find(all []field, key string) (field, error) {
	for _, f := range all {
		if f.key == key {
			return f, nil
		}
	}
	for _, f := range all {
		if strings.HasPrefix(f.key, key+".") {
			return field{}, fmt.Errorf("%s: is a section, not a setting", key)
		}
	}
	if near := nearest(all, key); near != "" {
		return field{}, fmt.Errorf("%s: unknown setting, did you mean %s", key, near)
	}
	return field{}, fmt.Errorf("%s: unknown setting, `strokereel settings` lists them all", key)
}
