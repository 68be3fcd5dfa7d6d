// Package requirements turns open orders into the wire they take, and the wire on the shelf into what is short. It is a sum
// over facts it is given: no stock is moved and nothing is promised here.
package requirements
