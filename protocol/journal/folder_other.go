//go:build !windows

package journal

func ignoreOnWindows(err error) error { return err }
