package pgserver

import "syscall"

// stopWithParent asks the kernel for a fast shutdown of the child when this process ends without having stopped it.
func stopWithParent(attr *syscall.SysProcAttr) { attr.Pdeathsig = syscall.SIGINT }
