//go:build !race

package testkit

// Race is true where the tests run beside the race detector.
const Race = false
