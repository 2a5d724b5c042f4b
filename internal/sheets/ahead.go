package sheets

import "iter"

const batchRows = 128

// batch is some rows that are handed over at once.
type batch struct {
	keys  []string
	cells []cell // of all rows, one after the other
}

// ahead yields the rows of a sheet while another goroutine makes those that follow, two batches at most.
func (s sheet) ahead() iter.Seq2[string, []cell] {
	return func(yield func(string, []cell) bool) {
		made, free, stop := make(chan *batch), make(chan *batch, 2), make(chan struct{})
		for range cap(free) {
			free <- &batch{make([]string, 0, batchRows), make([]cell, 0, batchRows*len(s.heads))}
		}
		var broken any
		go func() {
			defer close(made)
			defer func() { broken = recover() }()
			s.batches(made, free, stop)
		}()
		defer func() {
			close(stop)
			for range made { // until the other has ended
			}
		}()
		for b := range made {
			for i, key := range b.keys {
				if !yield(key, b.cells[i*len(s.heads):(i+1)*len(s.heads)]) {
					return
				}
			}
			free <- b
		}
		if broken != nil {
			panic(broken) // where it can be caught
		}
	}
}

// batches makes all rows, unless it is told to stop.
func (s sheet) batches(made chan<- *batch, free <-chan *batch, stop <-chan struct{}) {
	b := <-free
	send := func() bool {
		select {
		case made <- b:
		case <-stop:
			return false
		}
		select {
		case b = <-free:
			b.keys, b.cells = b.keys[:0], b.cells[:0]
			return true
		case <-stop:
			return false
		}
	}
	for key, cells := range s.rows {
		b.keys, b.cells = append(b.keys, key), append(b.cells, cells...)
		if len(b.keys) == batchRows && !send() {
			return
		}
	}
	send()
}
