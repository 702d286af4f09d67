//go:build unix && !linux

package pgserver

import "syscall"

// stopWithParent does nothing: the system has no signal for it. See clearStale.
func stopWithParent(*syscall.SysProcAttr) {}
