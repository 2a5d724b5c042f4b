package fhir

import "errors"

// stage does what it is given, one piece after another, beside who gives it.
type stage[T any] struct {
	work chan T
	over chan struct{} // closed when a piece has failed
	done chan struct{}
	err  error
}

// newStage lets so many pieces wait.
func newStage[T any](waiting int, do func(T) error) *stage[T] {
	s := &stage[T]{work: make(chan T, waiting), over: make(chan struct{}), done: make(chan struct{})}
	go func() {
		defer close(s.done)
		for piece := range s.work {
			if s.err = do(piece); s.err != nil {
				close(s.over)
				return
			}
		}
	}()
	return s
}

// errOver says that a stage has failed, which its end tells.
var errOver = errors.New("what was given before has failed")

// give returns when the piece is begun, or may wait.
func (s *stage[T]) give(piece T) error {
	select {
	case s.work <- piece:
		return nil
	case <-s.over:
		return errOver
	}
}

// end waits until all that was given is done.
func (s *stage[T]) end() error {
	close(s.work)
	<-s.done
	return s.err
}
