package web

import (
	"net/http"

	"cotline/internal/access"
)

// routes is all that is answered.
func routes() []route {
	get, post := http.MethodGet, http.MethodPost
	return []route{
		{get, "/sign-in", open, showSignIn, []string{"sign-in"}, false},
		{post, "/sign-in", open, signIn, []string{"sign-in"}, true},
		{post, "/sign-in/code", open, signInByCode, []string{"sign-in"}, true},
		{post, "/sign-in/pin", open, changeOver, []string{"sign-in"}, true},
		{get, "/link/{token}", open, showLink, []string{"link"}, false},
		{post, "/link/{token}", open, followLink, []string{"link"}, true},
		{post, "/sign-out", signedIn, signOut, nil, false},
		{get, "/", signedIn, home, []string{"home"}, false},
		{post, "/theme", open, setTheme, nil, false},
		{get, "/account", access.OwnAccount, showAccount, []string{"account"}, false},
		{post, "/account/sessions/end", access.OwnAccount, endSession, nil, false},
		{post, "/account/password", access.OwnAccount, changePassword, []string{"account"}, true},
		{post, "/account/pin", access.OwnAccount, setPIN, []string{"account"}, true},
		{get, "/let-in", access.LetIn, showLetIn, []string{"let-in"}, false},
		{post, "/let-in", access.LetIn, letIn, []string{"let-in"}, false},
		{get, "/beyond", access.LookBeyond, showBeyond, []string{"beyond"}, false},
		{post, "/beyond", access.LookBeyond, lookBeyond, []string{"beyond"}, false},
		{get, "/units/{unit}/ward", access.ReadInfants, showWard, []string{"ward"}, false},
		{get, "/units/{unit}/infants/{infant}", access.ReadInfants, showInfant, []string{"infant"}, false},
		{get, "/units/{unit}/chart", access.Chart, showMenu, []string{"chart-menu"}, false},
		{get, "/units/{unit}/chart/{sheet}", access.Chart, showSheet, []string{"chart"}, false},
		{post, "/units/{unit}/chart/{sheet}", access.Chart, chart, []string{"chart"}, false},
		{get, "/units/{unit}/charted/{token}", access.Chart, showCharted, []string{"chart-charted"}, false},
		{get, "/units/{unit}/entries/{entry}/correct", access.Chart, showCorrection, []string{"chart"}, false},
		{post, "/units/{unit}/entries/{entry}/correct", access.Chart, correct, []string{"chart"}, false},
		{get, "/units/{unit}/entries/{entry}/retract", access.Chart, showRetraction, []string{"chart-retract"}, false},
		{post, "/units/{unit}/entries/{entry}/retract", access.Chart, retract, []string{"chart-retract"}, false},
		{get, "/units/{unit}/infants/{infant}/chart", access.Chart, showMenu, []string{"chart-menu"}, false},
		{get, "/units/{unit}/infants/{infant}/chart/{sheet}", access.Chart, showSheet, []string{"chart", "chart-who"}, false},
		{post, "/units/{unit}/infants/{infant}/chart/{sheet}", access.Chart, chart, []string{"chart", "chart-who", "chart-sure"}, false},
		{get, "/units/{unit}/infants/{infant}/charted/{token}", access.Chart, showCharted, []string{"chart-charted"}, false},
		{get, "/units/{unit}/infants/{infant}/entries/{entry}/correct", access.Chart, showCorrection, []string{"chart"}, false},
		{post, "/units/{unit}/infants/{infant}/entries/{entry}/correct", access.Chart, correct, []string{"chart", "chart-sure"}, false},
		{get, "/units/{unit}/infants/{infant}/entries/{entry}/retract", access.Chart, showRetraction, []string{"chart-retract"}, false},
		{post, "/units/{unit}/infants/{infant}/entries/{entry}/retract", access.Chart, retract, []string{"chart-retract"}, false},
		{get, "/units/{unit}/infants/{infant}/wrong-infant", access.Chart, showMove, []string{"chart-move"}, false},
		{post, "/units/{unit}/infants/{infant}/wrong-infant", access.Chart, move, []string{"chart-move"}, false},
		{get, "/units/{unit}/infants/{infant}/entries", access.ReadInfants, showTimeline, []string{"timeline"}, false},
		{get, "/units/{unit}/infants/{infant}/facts", access.ReadInfants, showFacts, []string{"facts"}, false},
		{get, "/units/{unit}/handover", access.ReadInfants, showHandovers, []string{"handover"}, false},
		{get, "/units/{unit}/handover/review", access.HandOver, showReview, []string{"handover-review"}, false},
		{post, "/units/{unit}/handover/review", access.HandOver, sign, []string{"handover-review"}, false},
		{post, "/units/{unit}/handover/print", access.Print, printHandover, []string{"refused"}, false},
		{get, "/units/{unit}/handover/{entry}", access.ReadInfants, showSigned, []string{"handover-signed"}, false},
		{get, "/units/{unit}/handover/{entry}/next", access.HandOver, nextToTake, nil, false},
		{get, "/units/{unit}/handover/{entry}/infants/{infant}", access.HandOver, showTakeOver,
			[]string{"handover-take", "chart-who"}, false},
		{post, "/units/{unit}/handover/{entry}/infants/{infant}", access.HandOver, accept, []string{"handover-take", "chart-who"}, false},
		{get, "/units/{unit}/tables", access.Export, showTables, []string{"clerk-tables"}, false},
		{post, "/units/{unit}/tables/export", access.Export, export, []string{"refused"}, false},
		{get, sheetRoute, access.ChartSheets, showSheets, []string{"clerk-sheet"}, false},
		{post, sheetRoute, access.ChartSheets, takeSheet, []string{"clerk-sheet"}, false},
		{post, sheetRoute + "/template", access.ChartSheets, sendTemplate, nil, false},
		{get, "/static/{version}/{name}", open, showStatic, nil, false},
		{get, "/healthy", open, healthy, nil, false},
	}
}
