//go:build unix

package cli

import (
	"io/fs"
	"os"
	"syscall"
)

// tryLock locks an open file for this process, if no other has. The system frees it
// when the process ends, however it ends.
func tryLock(f *os.File) bool {
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) == nil
}

func ownedByUs(info fs.FileInfo) bool {
	stat, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(stat.Uid) == os.Getuid()
}
