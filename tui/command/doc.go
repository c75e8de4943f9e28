// Package command is the command line: it reads arguments, finds protocols and runs, opens journals, and starts the
// face that fits the terminal.
//
// Exit codes: 0 done; 1 what was handed in is unsound or not there; 2 the call is wrong. Results go to stdout, errors
// and remarks to stderr; with --format json nothing but JSON is on stdout.
//
// A run's id is the place's date and time, the protocol, and four signs that are drawn:
// 2026-03-02-0830-ester-batch-7k2m. A beginning that no other id has stands for it.
//
// Where things are (XDG): the user's own protocols in data home/meniscus/protocols, runs in data home/meniscus/runs (or
// --runs), the lab's instruments in config home/meniscus/instruments.toml.
package command
