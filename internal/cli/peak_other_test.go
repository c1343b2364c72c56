//go:build !linux

package cli

import (
	"os"
	"time"
)

// peakMB is not measured here.
func peakMB(*os.ProcessState) float64 { return 0 }

var started = time.Now()

// processorTime is the time that has gone by: what a process used is not
// measured here.
func processorTime() time.Duration { return time.Since(started) }
