//go:build !unix

package cli

import (
	"io/fs"
	"os"
)

// tryLock finds every file locked where the system has no such locks: nothing is swept.
func tryLock(*os.File) bool { return false }

// ownedByUs is so where the folder for such files is each user's own.
func ownedByUs(fs.FileInfo) bool { return true }
