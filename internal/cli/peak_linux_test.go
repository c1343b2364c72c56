package cli

import (
	"os"
	"syscall"
	"time"
)

// peakMB is the most memory a process held at once, in MB; Linux counts it in
// kB.
func peakMB(p *os.ProcessState) float64 {
	return float64(p.SysUsage().(*syscall.Rusage).Maxrss) / 1024
}

// processorTime is what this process has used of all cores so far, the
// collecting of garbage too. Other work on the machine does not count.
func processorTime() time.Duration {
	var used syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &used) != nil {
		return 0
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
