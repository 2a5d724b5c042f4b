// Package examples holds runnable scenarios with their results. Its tests run
// each and hold it to the files beside it, so that none can rot.
package examples
