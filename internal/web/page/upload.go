package page

import (
	"errors"
	"io"
	"net/http"

	"windingroom/internal/httpd"
	"windingroom/internal/problem"
)

// Upload is a file that was sent with a form.
type Upload struct {
	Name string
	Body []byte
}

// Upload reads a form with files, of at most so many bytes in all. Files are those of one field; an empty choice is none. The form is sent
// as multipart/form-data.
func (r *Request) Upload(field string, most int64) (*Form, []Upload, error) {
	httpd.Allow(r.Context, most)
	if r.ContentType() != "multipart/form-data" {
		return nil, nil, problem.ErrMalformed
	}
	if err := r.Request.ParseMultipartForm(most); err != nil { // all of it in memory: most bounds it
		if large := new(http.MaxBytesError); errors.As(err, &large) {
			return nil, nil, err
		}
		return nil, nil, problem.ErrMalformed
	}
	var all []Upload
	for _, h := range r.Request.MultipartForm.File[field] {
		file, err := h.Open()
		if err != nil {
			return nil, nil, err
		}
		body, err := io.ReadAll(file)
		if err := errors.Join(err, file.Close()); err != nil {
			return nil, nil, err
		}
		if h.Filename != "" {
			all = append(all, Upload{h.Filename, body})
		}
	}
	return NewForm(r.Request.PostForm), all, nil
}
