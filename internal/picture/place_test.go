package picture

import (
	"bytes"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// houseFolder is a house with pictures in it, and a picture beside it.
func houseFolder(t *testing.T) string {
	t.Helper()
	outer := t.TempDir()
	root := filepath.Join(outer, "house")
	for name, data := range map[string][]byte{
		"beside.png":                    testdata(t, "plain.png"),
		"house/rim.png":                 testdata(t, "plain.png"),
		"house/lenses/pictures/Lap.png": testdata(t, "interlaced.png"),
		"house/lenses/with space.png":   testdata(t, "plain.png"),
		"house/lenses/50%25.png":        testdata(t, "plain.png"),
		"house/lenses/words.png":        []byte("only words"),
		"house/lenses/a b/x.png":        testdata(t, "plain.png"),
	} {
		path := filepath.Join(outer, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, data, 0o644))
	}
	return root
}

func TestPicturesOfTheHouse(t *testing.T) {
	root := houseFolder(t)
	for _, c := range [][3]string{
		{"", "rim.png", "rim.png"},
		{".", "./rim.png", "rim.png"},
		{"lenses", "../rim.png", "rim.png"},
		{"lenses", "pictures/Lap.png", "lenses/pictures/Lap.png"},
		{"lenses", "pictures/../pictures//Lap.png", "lenses/pictures/Lap.png"},
		{"lenses/pictures", "Lap.png", "lenses/pictures/Lap.png"},
		{"lenses", "with space.png", "lenses/with space.png"},
		{"lenses", "with%20space.png", "lenses/with space.png"},
		{"lenses", "a%20b/x.png", "lenses/a b/x.png"},
		{"lenses", "50%25.png", "lenses/50%25.png"},
	} {
		path, err := Allowed(root, filepath.FromSlash(c[0]), c[1])
		require.NoError(t, err, c[1])
		assert.Equal(t, filepath.Join(root, filepath.FromSlash(c[2])), path)
		img, err := Load(root, c[0], c[1], 600)
		require.NoError(t, err, c[1])
		assert.Equal(t, 24, img.Width)
		longer, err := Look(root, c[0], c[1])
		assert.NoError(t, err)
		assert.Equal(t, 24, longer)
	}
}

func TestPicturesRefused(t *testing.T) {
	root := houseFolder(t)
	for _, c := range []struct {
		target string
		kind   Fault
		says   string
	}{
		{"", BadTarget, "no file name"},
		{"  ", BadTarget, "no file name"},
		{"a\x00b.png", BadTarget, "no file name may hold"},
		{"a\nb.png", BadTarget, "no file name may hold"},
		{"/etc/passwd", BadTarget, "top of a disk"},
		{`\\server\share\rim.png`, BadTarget, "top of a disk"},
		{`\rim.png`, BadTarget, "top of a disk"},
		{`C:\rim.png`, BadTarget, "drive letter"},
		{"c:rim.png", BadTarget, "drive letter"},
		{`pictures\Lap.png`, BadTarget, "backslash"},
		{"https://example.org/rim.png", BadTarget, "network"},
		{"file:///rim.png", BadTarget, "network"},
		{"data:image/png;base64,AAAA", BadTarget, "network"},
		{"//example.org/rim.png", BadTarget, "network"},
		{"../../beside.png", Outside, "outside the house"},
		{"..%2f..%2fbeside.png", Missing, "no picture"},
		{"../..", Outside, "outside the house"},
		{"../../house/rim.png", Outside, "outside the house"},
		{"none.png", Missing, "no picture"},
		{"none/rim.png", Missing, "no picture"},
		{"pictures", NotAFile, "folder"},
		{".", NotAFile, "folder"},
		{"words.png", NotAPicture, "not a picture"},
	} {
		for name, try := range tries(root, "lenses", c.target) {
			if name == "Allowed" && c.kind == NotAPicture {
				continue // its place is well enough
			}
			err := try()
			require.Errorf(t, err, "%s %q", name, c.target)
			e := errorOf(err)
			assert.Equalf(t, c.kind, e.Fault, "%s %q: %v", name, c.target, err)
			assert.Contains(t, e.Message, c.says)
			assert.NotContains(t, e.Message, root)
			sentence(t, e)
		}
	}
}

func tries(root, dir, target string) map[string]func() error {
	return map[string]func() error{
		"Allowed": func() error { _, err := Allowed(root, dir, target); return err },
		"Look":    func() error { _, err := Look(root, dir, target); return err },
		"Load":    func() error { _, err := Load(root, dir, target, 600); return err },
	}
}

func TestNameWithOtherCapitals(t *testing.T) {
	root := houseFolder(t)
	if _, err := os.Stat(filepath.Join(root, "RIM.PNG")); err == nil {
		t.Skip("this disk does not tell capitals from small letters")
	}
	_, err := Load(root, "lenses", "pictures/lap.PNG", 600)
	e := errorOf(err)
	assert.Equal(t, Missing, e.Fault)
	assert.Contains(t, e.Help(), "“Lap.png”")
	sentence(t, e)
}

func TestLinks(t *testing.T) {
	root := houseFolder(t)
	link := func(to, name string) {
		t.Helper()
		if err := os.Symlink(filepath.FromSlash(to), filepath.Join(root, filepath.FromSlash(name))); err != nil {
			if runtime.GOOS == "windows" {
				t.Skip("this account may not make links")
			}
			require.NoError(t, err)
		}
	}
	link("../rim.png", "lenses/in.png")
	link("../../beside.png", "lenses/out.png")
	link("../..", "lenses/folder")
	link(filepath.Join(filepath.Dir(root), "beside.png"), "lenses/far.png")
	link("../../nowhere.png", "lenses/lost.png")
	link("gone.png", "lenses/dangling.png")
	link("loop.png", "lenses/loop.png")

	img, err := Load(root, "lenses", "in.png", 600)
	require.NoError(t, err)
	assert.Equal(t, 24, img.Width)
	for target, kind := range map[string]Fault{
		"out.png": Outside, "folder/beside.png": Outside, "folder/house/rim.png": Outside,
		"far.png": Outside, "lost.png": Outside, "loop.png": Outside, "dangling.png": Missing,
	} {
		for name, try := range tries(root, "lenses", target) {
			err := try()
			require.Errorf(t, err, "%s %s", name, target)
			assert.Equalf(t, kind, errorOf(err).Fault, "%s %s: %v", name, target, err)
			sentence(t, errorOf(err))
		}
	}
}

func TestFileOverTheLimitIsNotRead(t *testing.T) {
	root := houseFolder(t)
	f, err := os.Create(filepath.Join(root, "big.png"))
	require.NoError(t, err)
	// A file of a terabyte that takes no room on most disks: reading it all
	// would take minutes and the machine's memory.
	if err := f.Truncate(1 << 40); err != nil {
		require.NoError(t, f.Truncate(MaxBytes+1))
	}
	_, err = f.WriteAt(testdata(t, "plain.png"), 0)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	_, err = Load(root, "", "big.png", 600)
	assert.Equal(t, TooLarge, errorOf(err).Fault)
	sentence(t, errorOf(err))
}

func TestHouseThatIsNotThere(t *testing.T) {
	_, err := Load(filepath.Join(t.TempDir(), "none"), "", "rim.png", 600)
	assert.Equal(t, Unreadable, errorOf(err).Fault)
	sentence(t, errorOf(err))
}

func TestFileThatMayNotBeRead(t *testing.T) {
	root := houseFolder(t)
	path := filepath.Join(root, "rim.png")
	require.NoError(t, os.Chmod(path, 0))
	if f, err := os.Open(path); err == nil {
		f.Close()
		t.Skip("this user may read every file")
	}
	_, err := Load(root, "", "rim.png", 600)
	assert.Equal(t, Unreadable, errorOf(err).Fault)
	sentence(t, errorOf(err))
}

func TestLongNamesAreShortened(t *testing.T) {
	_, err := Load(houseFolder(t), "", strings.Repeat("long", 100)+".png", 600)
	e := errorOf(err)
	assert.NotZero(t, e.Fault)
	assert.Less(t, len(e.Message), 250)
	sentence(t, e)
}

// FuzzPrepare feeds decoders what they were not made for: a picture or a plain
// sentence comes back, never a panic.
func FuzzPrepare(f *testing.F) {
	for _, name := range []string{"plain.png", "interlaced.png", "cmyk.jpg", "two.gif", "lossy.webp", "lossless.webp"} {
		f.Add(testdata(f, name))
	}
	f.Add(withExif(encoded(f, corners(), asJPEG), []byte("II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00")))
	f.Fuzz(func(t *testing.T, data []byte) {
		// Pictures near the limit would make each try take seconds.
		if head, err := look("fuzz", bytes.NewReader(data), data); err == nil && head.Width*head.Height > 1<<20 {
			return
		}
		img, err := Prepare("fuzz", data, 64)
		if err != nil {
			sentence(t, errorOf(err))
			return
		}
		channels := 3
		if img.Grey {
			channels = 1
		}
		if img.Width < 1 || img.Height < 1 || max(img.Width, img.Height) > 64 || len(img.Samples) != img.Width*img.Height*channels {
			t.Fatalf("%d by %d with %d bytes", img.Width, img.Height, len(img.Samples))
		}
	})
}

func BenchmarkPhotograph(b *testing.B) {
	data := encoded(b, noisy(4000, 3000), asJPEG)
	b.SetBytes(4000 * 3000)
	for b.Loop() {
		if _, err := Prepare("photo", data, 591); err != nil {
			b.Fatal(err)
		}
	}
}
