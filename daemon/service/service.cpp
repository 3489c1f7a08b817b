// placeholder: replaced by the layer's owner
