package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// writeWhole writes a file whole or not at all.
func writeWhole(name string, data []byte) error {
	return writeBy(name, func(to io.Writer) error {
		_, err := to.Write(data)
		return err
	})
}

// writeBy lets write fill a file, whole or not at all: beside its place first,
// then over it.
func writeBy(name string, write func(to io.Writer) error) (err error) {
	dir := filepath.Dir(name)
	temp, err := os.CreateTemp(dir, ".coldwright-*")
	if err != nil {
		return writeError(name, err)
	}
	defer func() {
		if err != nil {
			temp.Close()
			os.Remove(temp.Name())
			err = writeError(name, err)
		}
	}()
	if err = write(temp); err != nil {
		return err
	}
	if err = temp.Chmod(0o644); err != nil {
		return err
	}
	if err = temp.Sync(); err != nil {
		return err
	}
	if err = temp.Close(); err != nil {
		return err
	}
	return os.Rename(temp.Name(), name)
}

// writeNew writes a file that must not be there yet.
func writeNew(name string, data []byte) error {
	if _, err := os.Lstat(name); err == nil {
		return fmt.Errorf("%s is there already; it was left as it is", filepath.ToSlash(name))
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return writeError(name, err)
	}
	return writeWhole(name, data)
}

// writeError says in plain words why something could not be written.
func writeError(name string, err error) error {
	return fmt.Errorf("%s could not be written: %s", filepath.ToSlash(name), because(err))
}
