package command

// redrawOnContinue does nothing: programs are not stopped and continued here.
func redrawOnContinue(func()) (forget func()) { return func() {} }
