package cli

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/websocket"

	"coldwright/internal/sheet"
	"coldwright/internal/testkit"
)

// browser is a Chromium without a window, spoken to by its DevTools protocol.
type browser struct {
	t    *testing.T
	conn *websocket.Conn
	last int
	// asked are the addresses the pages asked for, said what they had to say.
	asked, said []string
}

// startBrowser starts Chromium; where there is none the test is skipped.
func startBrowser(t *testing.T) *browser {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("there is no chromium here to look at a page with")
	}
	// The browser still writes there while it ends, so it is cleared by hand.
	dir, err := os.MkdirTemp("", "chromium")
	require.NoError(t, err)
	cmd := exec.Command(path, "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run", "--remote-debugging-port=0", "--remote-allow-origins=*", "--user-data-dir="+dir, "about:blank")
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		_ = os.RemoveAll(dir)
	})
	var port string
	require.Eventually(t, func() bool {
		text, err := os.ReadFile(filepath.Join(dir, "DevToolsActivePort"))
		port, _, _ = strings.Cut(string(text), "\n")
		return err == nil && port != ""
	}, time.Minute, 50*time.Millisecond, "Chromium does not start")
	var pages []struct{ Type, WebSocketDebuggerURL string }
	require.Eventually(t, func() bool {
		answer, err := http.Get("http://127.0.0.1:" + port + "/json")
		if err != nil {
			return false
		}
		defer answer.Body.Close()
		return json.NewDecoder(answer.Body).Decode(&pages) == nil && len(pages) > 0
	}, time.Minute, 50*time.Millisecond)
	b := &browser{t: t}
	for _, p := range pages {
		if p.Type == "page" && b.conn == nil {
			b.conn, err = websocket.Dial(p.WebSocketDebuggerURL, "", "http://127.0.0.1")
			require.NoError(t, err)
		}
	}
	require.NotNil(t, b.conn)
	t.Cleanup(func() { _ = b.conn.Close() })
	for _, part := range []string{"Page", "Runtime", "Network", "Log"} {
		b.do(part+".enable", nil)
	}
	return b
}

type message struct {
	ID     int             `json:"id"`
	Method string          `json:"method"`
	Params json.RawMessage `json:"params"`
	Result json.RawMessage `json:"result"`
	Error  json.RawMessage `json:"error"`
}

// do sends a command and waits for its answer.
func (b *browser) do(method string, params any) json.RawMessage {
	b.t.Helper()
	b.last++
	require.NoError(b.t, websocket.JSON.Send(b.conn, map[string]any{"id": b.last, "method": method, "params": params}))
	for {
		m := b.next()
		if m.ID == b.last {
			require.Emptyf(b.t, m.Error, "%s", method)
			return m.Result
		}
	}
}

func (b *browser) next() message {
	b.t.Helper()
	var m message
	require.NoError(b.t, b.conn.SetReadDeadline(time.Now().Add(time.Minute)))
	require.NoError(b.t, websocket.JSON.Receive(b.conn, &m))
	var about struct {
		Request struct{ URL string }
		Entry   struct{ Text string }
	}
	_ = json.Unmarshal(m.Params, &about)
	switch m.Method {
	case "Network.requestWillBeSent":
		b.asked = append(b.asked, about.Request.URL)
	case "Log.entryAdded", "Runtime.exceptionThrown":
		b.said = append(b.said, about.Entry.Text+string(m.Params))
	}
	return m
}

// open loads a file and waits until it stands.
func (b *browser) open(file string, width int) {
	b.t.Helper()
	b.do("Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 1000})
	b.do("Page.navigate", map[string]any{"url": "file://" + file})
	for b.next().Method != "Page.loadEventFired" {
	}
}

// value is what an expression comes to on the page.
func (b *browser) value(expression string, to any) {
	b.t.Helper()
	var answer struct {
		Result struct{ Value json.RawMessage }
	}
	require.NoError(b.t, json.Unmarshal(b.do("Runtime.evaluate", map[string]any{"expression": expression, "returnByValue": true}), &answer))
	require.NoErrorf(b.t, json.Unmarshal(answer.Result.Value, to), "%s", expression)
}

// In a browser nothing is wider than a telephone or a tablet, every row with a
// box is high enough for a wet finger (WCAG 2.2, 2.5.5: 44 px), a tick is kept
// when the page is opened again and gone on one that says something else, no
// address outside is asked for, and the page prints on A4.
func TestPagesInABrowser(t *testing.T) {
	testkit.Long(t)
	b := startBrowser(t)
	dir := t.TempDir()
	const ticked = `[...document.querySelectorAll("input[type=checkbox]")].map(b => b.checked)`
	for _, design := range oneRecipe {
		demoPages(t, design, func(name string, s *sheet.Sheet, page []byte) {
			file := filepath.Join(dir, s.ID+"-"+strings.ReplaceAll(design, " ", "-")+".html")
			require.NoError(t, os.WriteFile(file, page, 0o644))
			for _, width := range []int{360, 800, 1280} {
				b.open(file, width)
				var wide, low int
				b.value("document.documentElement.scrollWidth", &wide)
				assert.LessOrEqual(t, wide, width, "%s, %s", design, name)
				b.value(`[...document.querySelectorAll("label.tick")].filter(e => e.getBoundingClientRect().height < 44).length`, &low)
				assert.Zero(t, low, "%s, %s at %d", design, name, width)
			}
			var boxes []bool
			b.value(ticked, &boxes)
			if design == "training sheet" {
				return
			}
			require.Greater(t, len(boxes), 2)
			assert.NotContains(t, boxes, true)
			b.value(`document.querySelectorAll("label.tick")[1].click(), 1`, new(int))
			b.open(file, 800)
			b.value(ticked, &boxes)
			assert.True(t, boxes[1], "%s, %s: the tick is kept", design, name)
			assert.NotContains(t, append(boxes[:1:1], boxes[2:]...), true)
			other := filepath.Join(dir, "other.html")
			require.NoError(t, os.WriteFile(other, bytes.Replace(page, []byte(`data-mark="`), []byte(`data-mark="0`), 1), 0o644))
			b.open(other, 800)
			b.value(ticked, &boxes)
			assert.NotContains(t, boxes, true, "another revision starts untouched")
		})
	}
	var printed struct{ Data string }
	require.NoError(t, json.Unmarshal(b.do("Page.printToPDF", map[string]any{"preferCSSPageSize": true}), &printed))
	file, err := base64.StdEncoding.DecodeString(printed.Data)
	require.NoError(t, err)
	api.DisableConfigDir()
	sizes, err := api.PageDims(bytes.NewReader(file), nil)
	require.NoError(t, err)
	require.NotEmpty(t, sizes)
	for _, size := range sizes {
		// A4 (ISO 216) is 595.3 × 841.9 pt.
		assert.InDelta(t, 595.3, size.Width, 1)
		assert.InDelta(t, 841.9, size.Height, 1)
	}
	assert.Empty(t, b.said)
	for _, address := range b.asked {
		assert.Regexp(t, `^(file|data|about):`, address)
	}
}
