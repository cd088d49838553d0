package track

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

// CheckRanges returns an error that names the first number in a settings struct
// that lies outside the range its tag states, as `range:"0.1..2"`. Fields
// without a range are left to the package; structs inside are looked into, with
// their key before the name.
func CheckRanges(options any) error { return checkRanges("", reflect.ValueOf(options)) }

func checkRanges(prefix string, v reflect.Value) error {
	for i := range v.NumField() {
		field, value := v.Type().Field(i), v.Field(i)
		name := prefix + field.Tag.Get("key")
		if value.Kind() == reflect.Struct {
			if err := checkRanges(name+".", value); err != nil {
				return err
			}
			continue
		}
		low, high, ok := ParseRange(field.Tag.Get("range"))
		if !ok {
			continue
		}
		var x float64
		switch {
		case value.CanFloat():
			x = value.Float()
		case value.CanInt():
			x = float64(value.Int())
		default:
			continue
		}
		// Written so that NaN is refused too.
		if !(x >= low && x <= high) {
			return fmt.Errorf("%s: must be between %g and %g (got %g)", name, low, high, x)
		}
	}
	return nil
}

// ParseRange reads a range tag such as "0.1..2".
func ParseRange(tag string) (low, high float64, ok bool) {
	a, b, found := strings.Cut(tag, "..")
	if !found {
		return 0, 0, false
	}
	low, err1 := strconv.ParseFloat(a, 64)
	high, err2 := strconv.ParseFloat(b, 64)
	return low, high, err1 == nil && err2 == nil
}
