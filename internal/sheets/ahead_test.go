package sheets

import (
	"fmt"
	"iter"
	"runtime"
	"slices"
	"testing"
	"time"
)

func numbered(rows iter.Seq[int]) sheet {
	return table("Test", "", rows, func(i int) string { return fmt.Sprint("row ", i) },
		column[int]{"A", 0, func(i int) cell { return count(i) }}, column[int]{"B", 0, func(i int) cell { return count(-i) }})
}

// Rows come in their order with their keys, whatever their number, to the end or to where the reader stops.
func TestAhead(t *testing.T) {
	before := runtime.NumGoroutine()
	for _, rows := range []int{0, 1, batchRows - 1, batchRows, batchRows + 1, 5*batchRows + 7} {
		for _, stop := range []int{rows + 1, rows, 1, batchRows, 3 * batchRows} {
			n := 0
			for key, cells := range numbered(upTo(rows)).ahead() {
				if got := []string{key, cells[0].number.String(), cells[1].number.String()}; !slices.Equal(
					got,
					[]string{fmt.Sprint("row ", n), fmt.Sprint(n), fmt.Sprint(-n)},
				) {
					t.Fatalf("row %d of %d is %v", n, rows, got)
				}
				if n++; n == stop {
					break
				}
			}
			if n != min(rows, stop) {
				t.Errorf("%d rows, stopped at %d: %d read", rows, stop, n)
			}
		}
	}
	for range 100 { // one that has ended may still be counted
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("%d goroutines are left", runtime.NumGoroutine()-before)
}

// What goes wrong while a row is made goes wrong where it is read.
func TestAheadBreaks(t *testing.T) {
	s := numbered(func(yield func(int) bool) {
		for i := range 2 * batchRows {
			yield(i)
		}
		panic("a row")
	})
	defer func() {
		if got := recover(); got != "a row" {
			t.Errorf("recovered %v", got)
		}
	}()
	for range s.ahead() {
	}
	t.Error("read to the end")
}
