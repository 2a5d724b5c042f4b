package cli

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// What a command needs while it works, such as a page that is printed, holds names. It
// stands in a folder of its own below the machine's folder for such files, in one that
// only this user can look into:
//
//	cotline-UID/RANDOM/lock      locked for as long as the command lives
//	cotline-UID/RANDOM/outputs   half-written files beside those asked for, a line each
//
// A command that ends takes its folder away. One that was killed cannot: the next
// command finds the lock free, and removes the folder and the half-written files.

const (
	lockName    = "lock"
	outputsName = "outputs"
	halfWritten = ".cotline-" // the start of a half-written file's name
)

// scratch is the folder of one run; it is made when it is first needed.
type scratch struct {
	dir     string
	lock    *os.File
	outputs *os.File
}

// ours is the user's folder for all commands.
func ours() string {
	return filepath.Join(os.TempDir(), "cotline-"+strconv.Itoa(os.Getuid()))
}

// private says whether a folder is nobody else's.
func private(dir string) bool {
	info, err := os.Lstat(dir)
	return err == nil && info.IsDir() && info.Mode().Perm() == 0o700 && ownedByUs(info)
}

// folder is the run's own folder.
func (s *scratch) folder() (string, error) {
	if s.dir != "" {
		return s.dir, nil
	}
	all := ours()
	if err := os.Mkdir(all, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return "", err
	}
	if !private(all) {
		return "", wrong{"the folder " + all + " is not this user's alone", "take it away, or name another place in TMPDIR"}
	}
	for {
		dir := filepath.Join(all, rand.Text())
		lock, err := lockedFolder(dir)
		if err != nil {
			return "", err
		}
		if lock != nil {
			s.dir, s.lock = dir, lock
			return dir, nil
		}
	}
}

// lockedFolder makes a folder and locks it. Nil, without an error, where another command
// took it for one that was left behind, before it was locked.
func lockedFolder(dir string) (*os.File, error) {
	if err := os.Mkdir(dir, 0o700); err != nil {
		return nil, err
	}
	path := filepath.Join(dir, lockName)
	lock, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR, 0o600)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if tryLock(lock) {
		opened, err := lock.Stat()
		stands, gone := os.Stat(path)
		if err == nil && gone == nil && os.SameFile(opened, stands) {
			return lock, nil
		}
	}
	lock.Close() // nothing was written
	return nil, nil
}

// half makes a half-written file beside the one that it is to become, and notes it before, so
// that the next command finds it.
func (s *scratch) half(beside string) (*os.File, error) {
	dir, err := s.folder()
	if err != nil {
		return nil, err
	}
	if s.outputs == nil {
		if s.outputs, err = os.OpenFile(filepath.Join(dir, outputsName), os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600); err != nil {
			return nil, err
		}
	}
	name, err := filepath.Abs(filepath.Join(filepath.Dir(beside), halfWritten+rand.Text()))
	if err != nil {
		return nil, err
	}
	if _, err := fmt.Fprintf(s.outputs, "%s\n", name); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_RDWR, 0o600)
	var at *fs.PathError
	if errors.As(err, &at) {
		at.Path = beside // the name that was given
	}
	return f, err
}

// end takes the run's folder away.
func (s *scratch) end() {
	if s.dir == "" {
		return
	}
	if s.outputs != nil {
		s.outputs.Close() // it is removed
	}
	os.RemoveAll(s.dir) // the next command tries again
	s.lock.Close()      // it is gone
	*s = scratch{}
}

// sweep removes what commands that were killed left behind.
func sweep() {
	all := ours()
	runs, err := os.ReadDir(all)
	if err != nil || !private(all) {
		return
	}
	for _, run := range runs {
		sweepRun(filepath.Join(all, run.Name()))
	}
}

func sweepRun(dir string) {
	lock, err := os.Open(filepath.Join(dir, lockName))
	if errors.Is(err, fs.ErrNotExist) {
		os.Remove(dir) // one that is just being made is made anew
		return
	}
	if err != nil {
		return
	}
	defer lock.Close() // it was only read
	if !tryLock(lock) {
		return // its command lives
	}
	noted, _ := os.ReadFile(filepath.Join(dir, outputsName)) // ours; at most what one command wrote
	for _, name := range strings.Split(string(noted), "\n") {
		if filepath.IsAbs(name) && strings.HasPrefix(filepath.Base(name), halfWritten) {
			// #nosec G703 -- a name that this program noted, in a folder of its own
			os.Remove(name) // it became what was asked for, or is gone
		}
	}
	os.RemoveAll(dir) // the next command tries again
}
