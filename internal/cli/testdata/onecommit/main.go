// Command onecommit makes one durable commit to the database it is given, and nothing
// else: what charting one entry is held against.
package main

import (
	"database/sql"
	"os"

	_ "modernc.org/sqlite"
)

func main() {
	db, err := sql.Open("sqlite", "file:"+os.Args[1]+"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_txlock=immediate")
	if err != nil {
		panic(err)
	}
	if _, err := db.Exec("CREATE TABLE IF NOT EXISTS entry (text TEXT); INSERT INTO entry VALUES (?)", os.Args[2]); err != nil {
		panic(err)
	}
	if err := db.Close(); err != nil {
		panic(err)
	}
}
