package web

import "cotline/internal/page"

// keptRound is what stands round a page that is kept.
type keptRound struct {
	At      string // when it was compiled
	Home    string
	Links   []keptLink
	Since   string
	Warning string // of a record that is not whole
	Clock   string // what was odd about the server's clock
}

type keptLink struct {
	Path string
	Cot  []page.Span
}
