// Command kill works in a shop and is killed without warning, again and again:
// while it writes entries, sends photos and makes backups. After each kill the
// shop is opened again and looked at whole: what was acknowledged is there,
// once, in one unbroken chain, with its photos; a backup that has its name can
// be restored.
//
//	go run ./bench/kill -kills 500
//	go run ./bench/kill -kills 100 -database postgres://user@host/name
//
// A kill ends the process, not the machine: what the system has taken but the
// disk has not is not lost by it. Each commit is flushed all the same.
package main
