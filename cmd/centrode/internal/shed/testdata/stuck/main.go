// Command stuck waits for what never comes. A page could still send it something, so it is told when it has nothing else to do.
package main

import _ "syscall/js"

func main() { <-make(chan int) }
