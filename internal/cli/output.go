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
	place, err := p.placing(path, write)
	if err == nil {
		err = place()
	}
	if err != nil {
		return err
	}
	return syncDir(filepath.Dir(path))
}

// placing writes an output to a file; what it returns puts it under its name, is called
// once, and may be beside others. It is durable there only once its folder is synced.
func (p *Program) placing(path string, write func(io.Writer) error) (place func() error, err error) {
	if err := named(path); err != nil {
		return nil, err
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		if info.IsDir() {
			return nil, wrong{path + " is a directory", "name a file"}
		}
		f, err := os.OpenFile(path, os.O_WRONLY, 0) // a pipe or a device
		if err != nil {
			return nil, err
		}
		return func() error { return nil }, errors.Join(write(f), f.Close())
	}
	f, err := p.scratch.half(path)
	if err != nil {
		return nil, err
	}
	if err := write(f); err != nil {
		return nil, abandoned(f, path, err)
	}
	return func() error { return replace(f, path) }, nil
}

// replace takes what was written beside a file in its place, so that an error leaves what
// was there.
func replace(f *os.File, path string) error {
	if err := f.Sync(); err != nil {
		return abandoned(f, path, err)
	}
	if err := f.Close(); err != nil {
		return abandoned(f, path, err)
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return abandoned(f, path, err)
	}
	return nil
}

// abandoned takes a half-written file away, and tells why.
func abandoned(f *os.File, path string, why error) error {
	f.Close()           // why counts
	os.Remove(f.Name()) // why counts
	return asOf(why, path)
}

// asOf tells an error of a file by the name that was given, not by the one it had while
// it was half written.
func asOf(err error, path string) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		at.Path = path
	}
	var two *os.LinkError
	if errors.As(err, &two) {
		return &fs.PathError{Op: two.Op, Path: path, Err: two.Err}
	}
	return err
}

// makeFolder makes a folder that only this user can look into, for files that hold
// names. One that is there stays as it is.
func makeFolder(dir string) error {
	if err := named(dir); err != nil {
		return err
	}
	return os.MkdirAll(dir, 0o700)
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
