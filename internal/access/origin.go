package access

// Origin is where a request comes from.
type Origin struct {
	Address string // without a port
	Device  string // the token of the device's cookie, empty where there is none
	Session string // the token of the session that the browser has, empty where there is none
	Request string // id of the request
}
