package testkit

import (
	"math"
	"reflect"

	"github.com/stretchr/testify/assert"
)

// mostOf is above any number of a bench, in whatever unit it is kept.
const mostOf = 1e13

// SaneNumbers walks all that a value holds and demands that every number in it
// is one: finite, not below nought and no larger than can be.
func SaneNumbers(t assert.TestingT, value any) {
	v := reflect.ValueOf(value)
	saneNumbers(t, v, v.Type().Name())
}

func saneNumbers(t assert.TestingT, v reflect.Value, path string) {
	switch v.Kind() {
	case reflect.Float64:
		f := v.Float()
		assert.False(t, math.IsNaN(f) || math.IsInf(f, 0) || f < 0 || f > mostOf, "%s is %g", path, f)
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				saneNumbers(t, v.Field(i), path+"."+v.Type().Field(i).Name)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			saneNumbers(t, v.Index(i), path)
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			saneNumbers(t, v.MapIndex(k), path)
		}
	}
}
