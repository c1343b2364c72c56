package cli

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
)

// progress is one line on a terminal that says how far a long run has come. In
// a pipe, or where the user asked for quiet, it says nothing.
type progress struct {
	mu    sync.Mutex
	w     io.Writer
	done  int
	last  time.Time
	wrote int
}

// newProgress starts a progress line; nil, which is silent, where w is no
// terminal.
func (e *env) newProgress() *progress {
	if e.quiet || !terminal(e.err) {
		return nil
	}
	return &progress{w: e.err, last: time.Now()}
}

// step counts one piece of work. The line shows only after a while, and not at
// every step.
func (p *progress) step(doing string, of int) {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done++
	if now := time.Now(); now.Sub(p.last) > 200*time.Millisecond {
		p.last = now
		line := fmt.Sprintf("%s %d of %d", doing, p.done, of)
		fmt.Fprintf(p.w, "\r%s%s", line, strings.Repeat(" ", max(0, p.wrote-len(line))))
		p.wrote = len(line)
	}
}

// end takes the line away and starts counting anew.
func (p *progress) end() {
	if p == nil {
		return
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.wrote > 0 {
		fmt.Fprintf(p.w, "\r%s\r", strings.Repeat(" ", p.wrote))
	}
	p.done, p.wrote = 0, 0
}
