package cli

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// output writes what a command yields: to a file, or to standard output where no
// file is named. A file appears whole or not at all, readable by its owner alone.
func (p *Program) output(path string, write func(io.Writer) error) error {
	if path == "" || path == "-" {
		return write(p.Stdout)
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		if info.IsDir() {
			return wrong{path + " is a directory", "name a file"}
		}
		f, err := os.OpenFile(path, os.O_WRONLY, 0) // a pipe or a device
		if err != nil {
			return err
		}
		return errors.Join(write(f), f.Close())
	}
	return replace(path, write)
}

// replace writes beside the file first, so that an error leaves what was there.
func replace(path string, write func(io.Writer) error) (err error) {
	dir := filepath.Dir(path)
	f, err := os.CreateTemp(dir, ".cotline-*")
	if err != nil {
		var at *fs.PathError
		if errors.As(err, &at) {
			at.Path = path // the name that was given
		}
		return err
	}
	defer func() {
		if err != nil {
			f.Close()           // the first error counts
			os.Remove(f.Name()) // the first error counts
		}
	}()
	if err := write(f); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return err
	}
	return syncDir(dir)
}

// syncDir makes a rename durable. It ignores errors: where a directory cannot be
// synced, the file is there all the same.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return nil
	}
	d.Sync() // not every system can
	return d.Close()
}
