package journal

import (
	"fmt"
	"strings"
)

// Finding is something wrong with the journal, where it is known at a position.
type Finding struct {
	Position int64 // 0: of the whole
	What     string
}

func (f Finding) String() string {
	if f.Position == 0 {
		return f.What
	}
	return fmt.Sprintf("position %d: %s", f.Position, f.What)
}

// finding is what an error of reading tells.
func finding(err error) Finding {
	return Finding{0, strings.TrimPrefix(err.Error(), ErrDamaged.Error()+": ")}
}
