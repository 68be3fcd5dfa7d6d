package store

func planChecks() []string {
	return nil
}
