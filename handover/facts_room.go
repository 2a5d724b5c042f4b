package handover

// A face that tells the whole ward at once reads one infant after another into the same
// room, since the table of one has hundreds of facts.

// room is memory for facts that are told and then not needed again. They have no path.
type room struct {
	piece    int // length of a piece
	pieces   [][]Fact
	at, used int // the piece that is written to, and how much of it is
}

// facts is room for so many facts, none in it yet. Without a room they have their own.
func (r *room) facts(n int) []Fact {
	if r == nil {
		return make([]Fact, 0, n)
	}
	if r.at < len(r.pieces) && r.used+n > len(r.pieces[r.at]) {
		r.at, r.used = r.at+1, 0
	}
	if r.at == len(r.pieces) {
		r.pieces = append(r.pieces, make([]Fact, max(n, r.piece)))
	}
	piece := r.pieces[r.at]
	if n > len(piece) {
		return make([]Fact, 0, n)
	}
	r.used += n
	return piece[r.used-n : r.used-n : r.used]
}
