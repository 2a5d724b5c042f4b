package sheets

// chart is a picture over a cell of the sheet of pictures.
type chart struct {
	title  string
	column int // of that sheet's table
	row    int // from 1
	lines  []chartLine
	x, y   bounds
}

// bounds are the ends of an axis, and how far its marks are apart.
type bounds struct{ from, to, step float64 }

// chartLine is a line of a picture: rows of the sheet of points that follow each other.
type chartLine struct {
	name     string
	from, to int // rows, from 1
	steps    bool
	dashed   bool
	grey     bool
}

const (
	firstPicture = 3 // column of the sheet of pictures
	chartDigits  = 36
	pointMoment  = 4 // columns of the sheet of points
	pointValue   = 5
)
